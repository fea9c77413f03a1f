//! What an explanation asks of bundles, and ranges that their values have to lie in.

use pairwright_proof::{Item, Roles, Slot};

use super::super::search::Asked;
use super::bundles::Several;

/// Which bundles are to be chosen from.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'a> {
    pub(super) asked: Asked<'a>,
    /// The part brought in stands in this position.
    pub(super) brought_to: Option<usize>,
    /// Values lie in this range.
    pub(super) low: i64,
    pub(super) high: i64,
    /// Only these items, one bit each.
    pub(super) set: u128,
}

impl<'a> Wanted<'a> {
    pub(super) fn of(asked: Asked<'a>) -> Self {
        Self { asked, brought_to: None, low: i64::MIN, high: i64::MAX, set: u128::MAX }
    }
}

impl Several<'_> {
    /// The value of a bundle, if it is wanted.
    pub(super) fn wanted_value(&self, wanted: &Wanted<'_>, slot: Slot, items: &[Item]) -> Option<i64> {
        let value = self.value(slot, items)?;
        ((wanted.low..=wanted.high).contains(&value) && self.is_wanted(wanted, slot.index(), items)).then_some(value)
    }

    fn is_wanted(&self, wanted: &Wanted<'_>, position: usize, items: &[Item]) -> bool {
        let asked = &wanted.asked;
        if !items.iter().all(|item| wanted.set & (1 << item.index()) != 0) {
            return false;
        }
        // A piece of a type stands for every piece of it.
        let stock = self.question.stocks[self.question.first_role()];
        let is = |item: &Item, part: usize| self.parts.get(item.index()).is_some_and(|&own| stock.is_alike(own, part));
        let has = |part: usize| items.iter().any(|item| is(item, part));
        let leads = |part: usize| items.first().is_some_and(|item| is(item, part));
        let forbidden = asked.forbid.is_some_and(|(at, part)| {
            at == position && if self.pile.roles == Roles::Alike { has(part) } else { leads(part) }
        });
        let same = asked.instead.is_some_and(|(at, parts)| {
            at == position && parts.len() == items.len() && items.iter().zip(parts).all(|(item, &part)| is(item, part))
        });
        let left_out = asked.leave_out.is_some_and(has);
        let missing = wanted.brought_to == Some(position) && !asked.bring_in.is_some_and(has);
        !(forbidden || same || left_out || missing)
    }
}
