//! Which pairs a problem allows, asked pair by pair: for tables too wide to lay out a grid first.

use crate::problem::Problem;
use pairwright_proof::{Item, Slot, Table};

/// The pairs that all tables and changes of a problem allow.
pub(crate) struct Allowed<'t> {
    /// The table whose rows are run through.
    pub(crate) table: &'t Table,
    others: Vec<&'t Table>,
    forced: Vec<Option<Item>>,
    /// Items left out and items of forced pairs, ascending.
    taken: Vec<Item>,
    forbidden: Vec<(Slot, Item)>,
    /// Items that must be used beside those of forced pairs, ascending.
    pub(crate) must: Vec<Item>,
}

impl<'t> Allowed<'t> {
    /// `None` if forced pairs contradict each other or another change.
    pub(crate) fn new(problem: &Problem<'t>, table: &'t Table) -> Option<Self> {
        let changes = problem.changes();
        let mut forced = vec![None; problem.shape().slots];
        let mut taken = changes.left_out.clone();
        for &(slot, item) in &changes.forced {
            let before = forced[slot.index()].replace(item);
            let again = before == Some(item);
            if !again && (before.is_some() || taken.contains(&item)) {
                return None;
            }
            taken.push(item);
        }
        taken.sort_unstable();
        let mut forbidden = changes.forbidden.clone();
        forbidden.sort_unstable();
        let mut must = changes.brought_in.clone();
        must.retain(|&item| !forced.contains(&Some(item)));
        must.sort_unstable();
        must.dedup();
        let others = problem.distinct_tables();
        let others = others.into_iter().filter(|&other| !std::ptr::eq(other, table)).collect();
        Some(Self { table, others, forced, taken, forbidden, must })
    }

    pub(crate) fn slots(&self) -> impl Iterator<Item = Slot> + use<> {
        self.table.slots()
    }

    /// Whether everything but the rows of `table` itself allows the pair.
    pub(crate) fn has(&self, slot: Slot, item: Item) -> bool {
        let free = match self.forced[slot.index()] {
            Some(forced) => forced == item,
            None => self.taken.binary_search(&item).is_err(),
        };
        free && self.others.iter().all(|other| other.row(slot)[item.index()] != Table::FORBIDDEN)
            && self.forbidden.binary_search(&(slot, item)).is_err()
    }

    /// A slot's pairs that `table` and the forced pairs allow, as a run of places in its row.
    pub(crate) fn run(&self, slot: Slot) -> std::ops::Range<usize> {
        match self.forced[slot.index()] {
            Some(item) => item.index()..item.index() + 1,
            None => 0..self.table.shape().items,
        }
    }

    /// The first item of a run and the values from there on.
    pub(crate) fn cells(&self, slot: Slot) -> impl Iterator<Item = (Item, i64)> + '_ {
        let run = self.run(slot);
        let first = u32::try_from(run.start).expect("a table has at most 2^30 items");
        let values = self.table.row(slot)[run].iter().copied();
        (first..).map(Item::new).zip(values).filter(|&(_, value)| value != Table::FORBIDDEN)
    }
}
