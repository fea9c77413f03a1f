//! A smaller problem with some of the items of a larger one.

use crate::problem::Problem;
use pairwright_proof::{Changes, Choice, Criterion, Item, Shape, Slot, Table, Window};

/// Some items of a problem, in their order, with tables of their own.
pub(crate) struct Extract<'p, 't> {
    from: &'p Problem<'t>,
    /// The large problem's items, ascending.
    items: Vec<Item>,
    /// One for every distinct table of the problem.
    tables: Vec<Table>,
    changes: Changes,
}

impl<'p, 't> Extract<'p, 't> {
    /// The problem over `items` (ascending; all items forced or brought in are among them), without the pairs that
    /// `keep` does not want; it is asked for a slot and a place among `items`.
    pub(crate) fn new(from: &'p Problem<'t>, items: Vec<Item>, keep: impl Fn(Slot, usize) -> bool) -> Self {
        let shape = Shape { slots: from.shape().slots, items: items.len() };
        let table = |whole: &Table| {
            let cell = |slot: Slot, place: Item| {
                let value = whole.row(slot)[items[place.index()].index()];
                (value != Table::FORBIDDEN && keep(slot, place.index())).then_some(value)
            };
            Table::from_fn(shape, cell).expect("the values come from a table")
        };
        let tables = from.distinct_tables().into_iter().map(table).collect();
        let changes = changes(from.changes(), &items);
        Self { from, items, tables, changes }
    }

    /// The smaller problem.
    pub(crate) fn problem(&self) -> Problem<'_> {
        let wholes = self.from.distinct_tables();
        let own = |table: &Table| {
            let at = wholes.iter().position(|&whole| std::ptr::eq(whole, table));
            &self.tables[at.expect("every table of the problem was taken along")]
        };
        let criteria = self.from.criteria().iter();
        let criteria = criteria.map(|criterion| Criterion { table: own(criterion.table), ..*criterion }).collect();
        let windows = self.from.windows().iter();
        let windows = windows.map(|window| Window { table: own(window.table), ..*window }).collect();
        Problem::new(criteria, windows)
            .expect("what the large problem is made of is sound")
            .with_effort(self.from.effort())
            .with_changes(self.changes.clone())
    }

    /// A choice of the smaller problem in items of the large one.
    pub(crate) fn back(&self, choice: &Choice) -> Choice {
        Choice::new(choice.items().iter().map(|place| self.items[place.index()]).collect())
    }

    /// The large problem's name of an item.
    pub(crate) fn item(&self, place: Item) -> Item {
        self.items[place.index()]
    }
}

/// The changes, as far as they concern these items.
fn changes(whole: &Changes, items: &[Item]) -> Changes {
    let place = |item: &Item| {
        let at = items.binary_search(item).ok()?;
        u32::try_from(at).ok().map(Item::new)
    };
    let pairs =
        |all: &[(Slot, Item)]| all.iter().filter_map(|(slot, item)| Some((*slot, place(item)?))).collect::<Vec<_>>();
    let some = |all: &[Item]| all.iter().filter_map(place).collect::<Vec<_>>();
    Changes {
        forced: pairs(&whole.forced),
        forbidden: pairs(&whole.forbidden),
        left_out: some(&whole.left_out),
        brought_in: some(&whole.brought_in),
    }
}
