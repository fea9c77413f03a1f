//! Two kinds a position, one of which grows: the best couples of a part of either.

use pairwright_assign::{
    Budget, Couple, Filled, JointAim, JointOutcome, JointProblem, Outer, Slot, Table, solve_joint,
};
use pairwright_proof::{Beside, JointStatement, Measure, Scale, Sense, Shape, check_joint};

use super::affine::Affine;
use super::found::{Found, Worth};
use super::guarded::Guarded;
use super::solve::{Choice, One, whole};
use super::{PileError, Sought};
use crate::plan::PlanError;

/// Partial plans that the search of one future may look at.
const EFFORT: u64 = 20_000;
/// Beyond every value of a fit, and inside what the solver calculates with.
const FAR: i64 = 1 << 41;

/// Positions that take a part of a kind that grows, and one of another kind that stays as it is.
#[derive(Clone, Debug)]
pub struct Couples {
    pub(super) slots: usize,
    /// How many parts of the growing kind the stock has.
    pub(super) parts: usize,
    /// How many of the other kind there are.
    pub(super) others: usize,
    /// The aim's fit, then the others that limits are about.
    pub(super) layers: Vec<Layer>,
    pub(super) guards: Vec<Guarded>,
    /// Whether a further part may stand in a position.
    pub(super) takes_further: Vec<bool>,
    /// Whether a part of the other kind may stand there, position after position.
    pub(super) takes_other: Vec<bool>,
    /// Layers whose spread is limited, in ticks.
    pub(super) widths: Vec<(usize, i64)>,
    /// Layers whose difference between neighbours is limited.
    pub(super) apart: Vec<(usize, i64)>,
    pub(super) neighbours: Vec<(usize, usize)>,
}

/// A fit of couples.
#[derive(Clone, Debug)]
pub(super) struct Layer {
    /// Values of the stock: position, part, other part.
    pub(super) stock: Vec<Option<i64>>,
    /// What a position with another part makes of a part's numbers: position, other part.
    pub(super) by_numbers: Vec<Option<Affine>>,
}

/// Values of known and further parts, worked out.
struct Laid<'c> {
    couples: &'c Couples,
    items: usize,
    /// For every layer: position, part, other part.
    layers: Vec<Vec<Option<i64>>>,
    turned: bool,
}

/// The best couples of what is sought, solved jointly within an effort and checked.
pub(super) fn best_couples(couples: &Couples, parts: Choice<'_>, sought: Sought) -> Result<Found, PileError> {
    let (aim, turned) = joint_aim(sought);
    let laid = Laid::new(couples, parts, turned);
    let (slots, items, others) = (couples.slots, laid.items, couples.others);
    let first = Table::from_fn(Shape { slots, items }, |_, _| Some(0))?;
    let second = Table::from_fn(Shape { slots, items: others }, |_, _| Some(0))?;
    let free = |_: Outer, slot: Slot, items: Couple| laid.aim(slot, items);
    let may_stand = |_: Outer, one: Filled, other: Filled| laid.may_stand(one, other);
    let is_free = couples.widths.is_empty() && couples.apart.is_empty();
    let statement = JointStatement {
        first: &first,
        second: &second,
        barred: &[],
        offsets: &[vec![0; slots]],
        scale: Scale::Free(&free),
        beside: (!is_free).then_some(Beside(&may_stand)),
    };
    let problem = JointProblem::new(statement, aim).map_err(PlanError::from)?.with_tie_effort(0);
    let (solution, is_proven) = match solve_joint(&problem, &Budget::nodes(EFFORT)).map_err(PlanError::from)? {
        JointOutcome::Proven(solution) => (solution, true),
        JointOutcome::BestFound { solution, .. } => (solution, false),
        JointOutcome::NothingFound { .. } => return Ok(Found { worth: None, is_proven: false }),
        JointOutcome::Impossible(_) => return Ok(Found::NOTHING),
    };
    check_joint(problem.statement(), aim.measure(), &solution.choice, solution.value).map_err(PlanError::from)?;
    let value = plain(sought, solution.value);
    Ok(Found { worth: Some(Worth { before: Vec::new(), aim: sought.in_ticks(value, slots) }), is_proven })
}

/// What the solver makes least, and whether values are turned for it.
fn joint_aim(sought: Sought) -> (JointAim, bool) {
    let aim = match sought.measure() {
        Measure::Spread => JointAim::Spread,
        Measure::SquaresAboutMean => JointAim::SquaresAboutMean,
        Measure::SquaresFrom { target } => JointAim::SquaresFrom { target },
        Measure::WorstFrom { target } => JointAim::WorstFrom { target },
        Measure::Least => JointAim::WorstFrom { target: FAR },
        Measure::Greatest => JointAim::WorstFrom { target: -FAR },
        Measure::Total => JointAim::Total,
    };
    (aim, aim == JointAim::Total && sought.sense() == Sense::Most)
}

/// The value of what is sought from that of the solver.
fn plain(sought: Sought, value: i128) -> i128 {
    match sought.measure() {
        Measure::Least => i128::from(FAR) - value,
        Measure::Greatest => value - i128::from(FAR),
        Measure::Total if sought.sense() == Sense::Most => -value,
        _ => value,
    }
}

impl<'c> Laid<'c> {
    fn new(couples: &'c Couples, parts: Choice<'_>, turned: bool) -> Self {
        let items = parts.len();
        let (of_stock, others) = (couples.parts, couples.others);
        let worked_out = |layer: &Layer| {
            let mut cells = Vec::with_capacity(couples.slots * items * others);
            for slot in 0..couples.slots {
                for item in 0..items {
                    match parts.part(item) {
                        One::InStock(..) => {
                            let from = (slot * of_stock + item) * others;
                            cells.extend_from_slice(&layer.stock[from..from + others]);
                        }
                        One::Further(numbers) => cells
                            .extend((0..others).map(|other| {
                                whole(layer.by_numbers.get(slot * others + other)?.as_ref()?.at(numbers))
                            })),
                    }
                }
            }
            cells
        };
        Self { couples, items, layers: couples.layers.iter().map(worked_out).collect(), turned }
    }

    fn value(&self, layer: usize, slot: usize, Couple { first, second }: Couple) -> Option<i64> {
        let place = (slot * self.items + first.index()) * self.couples.others + second.index();
        *self.layers.get(layer)?.get(place)?
    }

    fn aim(&self, slot: Slot, items: Couple) -> Option<i64> {
        let at = slot.index();
        let value = self.value(0, at, items)?;
        if items.first.index() >= self.couples.parts {
            let Couples { others, takes_further, takes_other, guards, .. } = self.couples;
            let mut here = guards.iter().filter(|guard| guard.slot == at);
            let holds = here.all(|guard| {
                let value = self.value(guard.layer, at, items);
                value.is_some_and(|value| (guard.low..=guard.high).contains(&(value as f64)))
            });
            if !holds || !takes_further[at] || !takes_other[at * others + items.second.index()] {
                return None;
            }
        }
        Some(if self.turned { -value } else { value })
    }

    fn may_stand(&self, one: Filled, other: Filled) -> bool {
        let near = |&(layer, ticks): &(usize, i64)| {
            let value = |filled: Filled| self.value(layer, filled.slot.index(), filled.items);
            value(one).zip(value(other)).is_some_and(|(one, other)| (one - other).abs() <= ticks)
        };
        let pair = (one.slot.index(), other.slot.index());
        let are_neighbours = || self.couples.neighbours.iter().any(|&(a, b)| (a, b) == pair || (b, a) == pair);
        self.couples.widths.iter().all(near)
            && (self.couples.apart.is_empty() || !are_neighbours() || self.couples.apart.iter().all(near))
    }
}
