//! Parts that inherit prices, for a first criterion that is a sum.

use super::bounds::bounds;
use super::costs::{Costs, Number};
use super::give_up::Room;
use super::held::Held;
use super::rank::{Leading, Rank, Scores, scores};
use super::settle::settle;
use crate::best::Cost;
use crate::chain::valued;
use crate::outcome::Solution;
use crate::problem::Problem;
use crate::region::Region;
use pairwright_proof::Item;
use std::collections::BTreeMap;
use std::sync::Arc;

#[derive(Clone, Debug)]
pub(super) struct Inherit<'t, W> {
    problem: Problem<'t>,
    /// What is asked for after the first criterion.
    later: Option<Problem<'t>>,
    pub(super) costs: Costs<W>,
    /// By rank, then by the order in which they were met.
    pub(super) open: BTreeMap<(Rank, u64), Part<W>>,
    met: u64,
    room: Room<W>,
}

#[derive(Clone, Debug)]
pub(super) enum Part<W> {
    /// What is left where a slot gives up the item that it has in the best choice of a part.
    Bounded { of: Arc<Held<W>>, slot: usize },
    /// A cheapest choice is known.
    Priced(Held<W>),
    /// The choice is the best one of the part by everything asked for.
    Settled(Arc<Held<W>>),
}

impl<'t, W: Number> Inherit<'t, W> {
    /// `None` where the prices of the first choice do not stand in these numbers.
    pub(super) fn new(problem: &Problem<'t>, cost: &Cost<'_>, region: &Region<'_>, costs: Costs<W>) -> Option<Self> {
        let first = Held::first(cost, region, &costs).ok()?;
        let later = problem.criteria()[1..].to_vec();
        let later = if later.is_empty() { None } else { Some(Problem::new(later, Vec::new()).ok()?) };
        let room = Room::new(costs.slots());
        let mut all = Self { problem: problem.clone(), later, costs, open: BTreeMap::new(), met: 0, room };
        if let Some(first) = first {
            all.add(Rank::of_scores(Scores::from_iter([first.total])), Part::Priced(first));
        }
        Some(all)
    }

    pub(super) fn next(&mut self) -> Option<Solution> {
        while let Some(((rank, _), part)) = self.open.pop_first() {
            match part {
                Part::Bounded { of, slot } => {
                    if let Some(held) = self.room.give_up(&self.costs, &of, slot) {
                        let rank = if held.total > rank.scores[0] { self.among(&of, slot, held.total) } else { rank };
                        self.add(rank, Part::Priced(held));
                    }
                }
                Part::Priced(held) => self.settle(held),
                Part::Settled(held) => {
                    self.divide(&rank, &held);
                    return Some(valued(&self.problem, held.items.to_vec()));
                }
            }
        }
        None
    }

    fn add(&mut self, rank: Rank, part: Part<W>) {
        self.met += 1;
        self.open.insert((rank, self.met), part);
    }

    fn settle(&mut self, held: Held<W>) {
        if let Some(held) = settle(&self.costs, held, self.later.as_ref())
            && let Some(scores) = scores(&self.problem, &held.items)
        {
            self.add(Rank::of_choice(scores, &held.items), Part::Settled(Arc::new(held)));
        }
    }

    /// Puts in the parts that a part has besides its best choice.
    fn divide(&mut self, rank: &Rank, held: &Arc<Held<W>>) {
        for (slot, bound) in (held.kept..).zip(bounds(&self.costs, held)) {
            let Some(bound) = bound else { continue };
            let rank = if bound.by > W::ZERO {
                self.among(held, slot, held.total + bound.by.into())
            } else {
                // The choice comes first among its equals, so that the slot takes an item behind its own in all others.
                let next = bound.next.unwrap_or(Item::new(u32::MAX));
                Rank { scores: rank.scores.clone(), items: Leading::of(&held.items, slot, Some(next)) }
            };
            self.add(rank, Part::Bounded { of: Arc::clone(held), slot });
        }
    }

    /// The rank of choices that keep the items before a slot and come to a total.
    fn among(&self, held: &Held<W>, slot: usize, total: i128) -> Rank {
        let kept = if self.later.is_none() { slot } else { 0 };
        Rank { scores: Scores::from_iter([total]), items: Leading::of(&held.items, kept, None) }
    }
}
