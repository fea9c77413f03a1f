//! A total of values that add up item by item: an assignment with each slot taken several times.
//!
//! Equal rows for the places of a slot: the first choice in order of that assignment is the first in order of bundles.

use super::field::Chosen;
use super::problem::SeveralProblem;
use crate::effort::Effort;
use crate::first::first;
use crate::grid::{Bits, Grid};
use crate::region::Region;
use crate::sum;
use crate::watch::Watch;
use pairwright_proof::{Item, Sense, Slot, Table};

/// The best total and the first arrangement that has it; `None` if there is no arrangement, or if it was ended early.
///
/// O((n·each)³), whatever the number of bundles.
pub(super) fn best(problem: &SeveralProblem<'_>, table: &Table, watch: &Watch<'_>) -> Option<Chosen> {
    // With roles too: every order of a slot's items is worth the same, and the ascending one is the first.
    let each = problem.pile.each;
    let rows = u32::try_from(problem.pile.slots.checked_mul(each)?).ok()?;
    let slot_of = |row: Slot| Slot::new(u32::try_from(row.index() / each).expect("fewer slots than rows"));
    let mut grid = Grid::none(rows, problem.pile.items);
    for row in grid.slots() {
        for item in table.items().filter(|&item| table.get(slot_of(row), item).is_some()) {
            grid.set(row, item);
        }
    }
    let sign = if problem.sense == Sense::Least { 1 } else { -1 };
    let cost = |row: Slot, item: Item| sign * i128::from(table.row(slot_of(row))[item.index()]);
    let mut must = Bits::none(problem.pile.items);
    let assigned = sum::cheapest_within(&grid, &must, cost, watch)?;
    assigned.keep_within(&mut grid, &mut must, 0, cost);
    let region = Region { grid, must, budgets: Vec::new() };
    let items = first(&region, &Effort::new(0, watch)).choice?;
    let bundle = |slot: usize| {
        let mut bundle = items[slot * each..(slot + 1) * each].to_vec();
        bundle.sort_unstable();
        let at = problem.field.place(&bundle)?;
        problem.field.slots[slot].iter().find(|known| known.at == at).copied()
    };
    (0..problem.pile.slots).map(bundle).collect()
}
