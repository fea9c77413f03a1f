//! What is still open while a chain is worked off.

use crate::grid::{Bits, Grid};
use crate::problem::Problem;
use pairwright_proof::{Criterion, Table};

/// The choices that use only pairs of `grid` and every item of `must`, and keep every budget.
#[derive(Clone, Debug)]
pub(crate) struct Region<'t> {
    pub(crate) grid: Grid,
    pub(crate) must: Bits,
    pub(crate) budgets: Vec<Budget<'t>>,
}

/// A criterion that was given some slack and cannot be held by pairs alone: its score may not be above `limit`.
#[derive(Clone, Debug)]
pub(crate) struct Budget<'t> {
    pub(crate) criterion: Criterion<'t>,
    pub(crate) limit: i128,
}

/// Windows of equal width over the values of one table, of which a choice must keep to one.
#[derive(Clone, Debug)]
pub(crate) struct Family<'t> {
    pub(crate) table: &'t Table,
    pub(crate) width: i64,
    /// Lower ends, ascending; at least one.
    pub(crate) starts: Vec<i64>,
}

/// A region cut down to what the windows of its families span together.
#[derive(Clone, Debug)]
pub(crate) struct Node<'t> {
    pub(crate) region: Region<'t>,
    pub(crate) families: Vec<Family<'t>>,
}

impl Region<'_> {
    /// Every pair that all tables and changes of the problem allow.
    pub(crate) fn whole(problem: &Problem<'_>) -> Self {
        let shape = problem.shape();
        let slots = u32::try_from(shape.slots).expect("a table has at most 2^20 slots");
        let mut grid = Grid::none(slots, shape.items);
        grid.fill_all();
        for table in problem.distinct_tables() {
            grid.keep_of_table(table, |value| value != Table::FORBIDDEN);
        }
        let changes = problem.changes();
        for &(slot, item) in &changes.forbidden {
            grid.clear(slot, item);
        }
        for &item in &changes.left_out {
            grid.clear_item(item);
        }
        for &(slot, item) in &changes.forced {
            grid.force(slot, item);
        }
        let mut must = Bits::none(shape.items);
        for item in &changes.brought_in {
            must.set(item.index());
        }
        Self { grid, must, budgets: Vec::new() }
    }
}

impl<'t> Region<'t> {
    /// The region left when a window family is to be kept.
    pub(crate) fn inside(mut self, family: Family<'t>) -> Node<'t> {
        family.cut(&mut self.grid);
        Node { region: self, families: vec![family] }
    }
}

impl Family<'_> {
    /// Drops the pairs outside every window.
    pub(crate) fn cut(&self, grid: &mut Grid) {
        let (Some(&low), Some(&last)) = (self.starts.first(), self.starts.last()) else {
            return;
        };
        let high = last.saturating_add(self.width);
        grid.keep_of_table(self.table, |value| (low..=high).contains(&value));
    }
}

impl Node<'_> {
    /// Two nodes that have this one's choices between them; none if every family is down to one window.
    pub(crate) fn split(&self) -> Option<[Self; 2]> {
        let (widest, family) = self.families.iter().enumerate().max_by_key(|(_, family)| family.starts.len())?;
        let (left, right) = family.starts.split_at(family.starts.len() / 2);
        if left.is_empty() {
            return None;
        }
        Some([left, right].map(|starts| {
            let mut node = self.clone();
            node.families[widest].starts = starts.to_vec();
            node.families[widest].cut(&mut node.region.grid);
            node
        }))
    }
}
