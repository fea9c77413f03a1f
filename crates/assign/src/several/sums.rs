//! Least sum of a cost over all slots: depth first, bounded by the cheapest bundle that every open slot has left.

use super::beside::Limits;
use super::decide::{Effort, Spent};
use super::field::{Bundle, Chosen};

/// A bundle with its cost; sorted by cost.
#[derive(Clone, Copy, Debug)]
struct Priced {
    cost: i128,
    bundle: Bundle,
}

/// Improves on `best` until nothing costs less; with `any`, until it costs at most that.
pub(crate) fn cheapest(
    lists: &[Vec<Bundle>],
    cost: impl Fn(&Bundle) -> i128,
    best: &mut Option<(i128, Chosen)>,
    any: Option<i128>,
    limits: &Limits,
    effort: &mut Effort<'_>,
) -> Result<(), Spent> {
    let slices: Vec<&[Bundle]> = lists.iter().map(Vec::as_slice).collect();
    let floors = limits.floors(&slices);
    let priced = |list: &Vec<Bundle>| {
        let mut list: Vec<Priced> = list.iter().map(|&bundle| Priced { cost: cost(&bundle), bundle }).collect();
        list.sort_by_key(|priced| (priced.cost, priced.bundle.at));
        list
    };
    let lists: Vec<Vec<Priced>> = lists.iter().map(priced).collect();
    let chosen = vec![None; lists.len()];
    Search { lists: &lists, chosen, best, any, limits, floors: &floors, effort }.dive(0, 0).map(|_| ())
}

/// No choice costs less: every slot its cheapest bundle.
pub(crate) fn bound(lists: &[Vec<Bundle>], cost: impl Fn(&Bundle) -> i128) -> i128 {
    lists.iter().filter_map(|list| list.iter().map(&cost).min()).sum()
}

struct Search<'a, 'w> {
    lists: &'a [Vec<Priced>],
    chosen: Vec<Option<Bundle>>,
    best: &'a mut Option<(i128, Chosen)>,
    any: Option<i128>,
    limits: &'a Limits,
    floors: &'a [Vec<i128>],
    effort: &'a mut Effort<'w>,
}

impl Search<'_, '_> {
    fn most(&self) -> i128 {
        self.best.as_ref().map_or(self.any.unwrap_or(i128::MAX), |(score, _)| score - 1)
    }

    /// Whether the search is over.
    fn dive(&mut self, used: u128, spent: i128) -> Result<bool, Spent> {
        let open: Vec<usize> = (0..self.lists.len()).filter(|&slot| self.chosen[slot].is_none()).collect();
        self.effort.spend(open.iter().map(|&slot| self.lists[slot].len()).sum())?;
        let (limits, floors) = (self.limits, self.floors);
        let gate = limits.gate(floors, &self.chosen);
        let fits = |slot: usize, priced: &Priced| priced.bundle.items & used == 0 && gate.admits(slot, &priced.bundle);
        let first = |&slot: &usize| self.lists[slot].iter().find(|priced| fits(slot, priced)).map(|priced| priced.cost);
        let Some(cheapest) = open.iter().map(first).collect::<Option<Vec<i128>>>() else {
            return Ok(false);
        };
        let spare = self.most().saturating_sub(spent + cheapest.iter().sum::<i128>());
        if spare < 0 {
            return Ok(false);
        }
        let within = |slot: usize, least: i128| {
            let list = self.lists[slot].iter().take_while(move |priced| priced.cost - least <= spare);
            list.filter(move |priced| fits(slot, priced))
        };
        let narrowest = open.iter().zip(cheapest).min_by_key(|&(&slot, least)| (within(slot, least).count(), slot));
        let Some((&slot, least)) = narrowest else {
            let chosen: Option<Chosen> = self.chosen.iter().copied().collect();
            *self.best = chosen.map(|chosen| (spent, chosen));
            return Ok(self.any.is_some());
        };
        let tried: Vec<Priced> = within(slot, least).copied().collect();
        for Priced { cost, bundle } in tried {
            self.chosen[slot] = Some(bundle);
            if self.dive(used | bundle.items, spent + cost)? {
                return Ok(true);
            }
        }
        self.chosen[slot] = None;
        Ok(false)
    }
}
