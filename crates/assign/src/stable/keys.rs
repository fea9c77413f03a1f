//! Keys of which the greatest counts: it is to be small, or it is to be great.

use super::field::{Asked, Field};
use super::{Stretch, around};
use crate::best::Key;
use crate::reach;
use crate::watch::Watch;
use crate::worst::Keyed;
use pairwright_proof::{Item, Measure, Slot};

impl Field<'_> {
    /// The greatest key is to be small.
    pub(super) fn by_worst_key(&self, key: Key, asked: Asked) -> Stretch {
        let rest = self.under_windows(self.forced(asked), |region| {
            let (grid, must, table) = (&region.grid, &region.must, self.criterion.table);
            let key = |slot, value| if slot == asked.slot { i64::MIN } else { key.of(value) };
            let held = Keyed { grid, must, table, key, confirm: None }.least(&Watch::unlimited())?;
            Some((held.key, ()))
        });
        let rest = rest.map(|(key, ())| key);
        let (low, high) = if asked.is_chosen {
            let own = self.own_rest(asked).map(|value| key.of(value)).max();
            let is_best = own.is_none_or(|own| rest.is_some_and(|rest| rest >= own));
            (own.filter(|_| !is_best).map(i128::from), self.without(asked))
        } else {
            (rest.is_some_and(|rest| i128::from(rest) < self.best).then_some(self.best), None)
        };
        turned_back(key, asked, low, high)
    }

    /// The greatest key is to be great: a choice with the pair is worth its key x or that of its rest, the greater.
    pub(super) fn by_great_key(&self, asked: Asked) -> Stretch {
        let key = match self.criterion.measure {
            Measure::Least => Key::Negative,
            Measure::WorstFrom { target } => Key::Away(target),
            _ => Key::Value,
        };
        let best = -self.best;
        if !asked.is_chosen {
            let is_held = self.with(asked).is_some();
            return turned_back(key, asked, None, is_held.then_some(best));
        }
        let rest = self.under_windows(self.forced(asked), |region| {
            let (key, _) = reach::holding_greatest(&region.grid, &region.must, self.key_of_rest(key, asked))?;
            Some((-i128::from(key), ()))
        });
        let own = self.own_rest(asked).map(|value| i128::from(key.of(value))).max();
        // The choice has to reach what it could not be worth without x.
        let others = [rest.map(|(score, ())| -score), self.without(asked).map(|score| -score)];
        let low = others.into_iter().flatten().filter(|&other| own.is_none_or(|own| other > own)).max();
        turned_back(key, asked, low, None)
    }

    /// The keys of all pairs but the one asked about, which counts for nothing.
    fn key_of_rest(&self, key: Key, asked: Asked) -> impl Fn(Slot, Item) -> i64 + '_ {
        let table = self.criterion.table;
        move |slot, item| if slot == asked.slot { i64::MIN } else { key.of(table.row(slot)[item.index()]) }
    }
}

/// The values whose keys lie between two, around the present one.
fn turned_back(key: Key, asked: Asked, low: Option<i128>, high: Option<i128>) -> Stretch {
    match key {
        Key::Value => Stretch { low, high },
        Key::Negative => Stretch { low: high.map(|high| -high), high: low.map(|low| -low) },
        Key::Away(target) => around(target.into(), asked.value >= target, low, high),
    }
}
