//! Spreads: the rests that one more value makes narrowest.

use super::Stretch;
use super::field::{Asked, Field};
use super::pieces::{Rest, first_worse};
use crate::grid::Grid;
use crate::matching::Matching;
use crate::region::Region;
use crate::spread::{self, Pair, Pairs};
use pairwright_proof::{Item, Slot};

impl Field<'_> {
    pub(super) fn by_spread(&self, asked: Asked) -> Stretch {
        if self.whole.grid.slot_count() == 1 {
            return Stretch { low: None, high: None };
        }
        let rests = self.rests(asked);
        let own = asked.is_chosen.then(|| {
            let (low, high) = (self.own_rest(asked).min(), self.own_rest(asked).max());
            Rest { low: low.unwrap_or(asked.value).into(), high: high.unwrap_or(asked.value).into() }
        });
        let without = if asked.is_chosen { self.without(asked) } else { None };
        let value = i128::from(asked.value);
        let up = first_worse(value, own, self.best, without, &rests);
        // The same seen from the other side.
        let turned: Vec<Rest> = rests.iter().map(Rest::turned).collect();
        let down = first_worse(-value, own.as_ref().map(Rest::turned), self.best, without, &turned);
        Stretch { low: down.map(|down| -(down - 1)), high: up.map(|up| up - 1) }
    }

    /// Smallest and largest value of what serves the other slots with the other items, each with no other one inside it.
    fn rests(&self, asked: Asked) -> Vec<Rest> {
        let Region { grid, must, .. } = &self.whole;
        let others: Vec<Slot> = grid.slots().filter(|&slot| slot != asked.slot).collect();
        let mut pairs = Vec::new();
        for (place, &slot) in (0..).map(Slot::new).zip(&others) {
            let row = self.criterion.table.row(slot);
            let items = grid.items_of(slot).filter(|&item| item != asked.item);
            pairs.extend(items.map(|item| Pair { value: row[item.index()], slot: place, item }));
        }
        let slots = u32::try_from(others.len()).expect("a table has at most 2^20 slots");
        let pairs = Pairs { slots, items: grid.item_count(), all: pairs };
        let mut must = must.clone();
        must.clear(asked.item.index());
        let confirm = |inside: &Grid| self.holds_rest(asked, &others, inside).then(Vec::<Item>::new);
        let is_free = self.problem.windows().is_empty();
        let rests = spread::narrow_windows(pairs, &must, if is_free { None } else { Some(&confirm) });
        rests.into_iter().map(|(low, high)| Rest { low: low.into(), high: high.into() }).collect()
    }

    /// Whether some of these pairs of the other slots make a choice with the pair asked about that keeps the windows.
    fn holds_rest(&self, asked: Asked, others: &[Slot], inside: &Grid) -> bool {
        let mut region = self.forced(asked);
        for (place, &slot) in (0..).map(Slot::new).zip(others) {
            region.grid.keep_of(slot, inside.row(place));
        }
        let any = self.under_windows(region, |region| {
            let done = Matching::empty(&region.grid).complete(&region.grid, &region.must);
            done.ok().map(|()| ((), ()))
        });
        any.is_some()
    }
}
