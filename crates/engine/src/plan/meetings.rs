//! What the aim is worth wherever two parts can meet, for every way to dress a bank.

use pairwright_assign::{Couple, Slot};

use super::admission::Relaxed;
use super::question::Question;
use super::setting::{Setting, pinned_out};

/// No value: the parts must not meet there.
const NONE: i64 = i64::MIN;

/// The values themselves.
#[derive(Debug, Default)]
pub(super) struct Meetings {
    /// The bank of every position.
    pub(super) banks: Vec<usize>,
    /// For every setting and bank the number of the bank's way to be dressed.
    pub(super) ways: Vec<Vec<usize>>,
    /// For every way and position of its bank the values, firsts × seconds; empty elsewhere.
    pub(super) cells: Vec<Vec<i64>>,
    pub(super) seconds: usize,
    /// The aim wants much, and the solver makes least.
    pub(super) turned: bool,
}

impl Meetings {
    /// Where the values of a position under a setting are, and which of them is that of two parts.
    pub(super) fn place(&self, setting: usize, slot: Slot, items: Couple) -> Option<(usize, usize)> {
        let way = *self.ways.get(setting)?.get(*self.banks.get(slot.index())?)?;
        Some((way * self.banks.len() + slot.index(), items.first.index() * self.seconds + items.second.index()))
    }

    /// The value in a place, turned so that less is better where the aim wants much.
    pub(super) fn value(&self, (cell, at): (usize, usize)) -> Option<i64> {
        let value = *self.cells.get(cell)?.get(at)?;
        (value != NONE).then(|| if self.turned { -value } else { value })
    }
}

/// The aim's value wherever two parts can meet in a position, firsts × seconds.
pub(super) fn cells(question: &Question<'_>, shape: [usize; 2], position: usize, on: (&Setting, Relaxed)) -> Vec<i64> {
    let (setting, relaxed) = on;
    let (first_role, second_role) = (question.first_role(), question.second_role().unwrap_or(0));
    let may_stand = |role, part| question.may_go(role, position, part) && !pinned_out(question, role, position, part);
    let mut cells = Vec::with_capacity(shape[0] * shape[1]);
    for first in 0..shape[0] {
        let first_may = may_stand(first_role, first);
        for second in 0..shape[1] {
            let value = || {
                if !first_may || !may_stand(second_role, second) || !question.may_meet(first, second) {
                    return None;
                }
                let seat = question.seat(position, setting, Some(second)).with(first_role, first);
                question.admitted(seat, relaxed)
            };
            cells.push(value().unwrap_or(NONE));
        }
    }
    cells
}
