//! Two kinds a position, one of which grows: the best couples of a part of either.

use pairwright_assign::{Couple, Filled, Item, JointAim, Slot};
use pairwright_proof::{JointChoice, Measure, Sense};

use super::affine::Affine;
use super::buying::Bought;
use super::found::{Found, Worth};
use super::guarded::Guarded;
use super::held::{Came, Held};
use super::solve::{Choice, One, position, whole};
use super::{PileError, Sought};
use crate::readings::PartId;

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
    pub(super) bought: Bought,
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
pub(super) struct Laid<'c> {
    pub(super) couples: &'c Couples,
    pub(super) items: usize,
    /// For every layer: position, part, other part.
    layers: Vec<Vec<Option<i64>>>,
    turned: bool,
}

/// What is made least, and of what values: position, part, other part.
struct Criterion {
    aim: JointAim,
    values: Vec<i64>,
}

/// The best couples of the totals that count before the aim, then of what is sought, each solved jointly within an effort among
/// those that are best by the ones before, and checked.
pub(super) fn best_couples(couples: &Couples, parts: Choice<'_>, sought: Sought) -> Result<Found, PileError> {
    let (aim, turned) = joint_aim(sought);
    let laid = Laid::new(couples, parts, turned);
    let aims: Vec<Option<i64>> = laid.cells().map(|(slot, items)| laid.aim(slot, items)).collect();
    let mut held = Held::new(&laid, aims.iter().map(Option::is_some).collect())?;
    let total = |at: usize| Criterion { aim: JointAim::Total, values: laid.totals(Some(at)) };
    let values = aims.into_iter().map(Option::unwrap_or_default).collect();
    let criteria: Vec<Criterion> =
        (0..couples.bought.before.len()).map(total).chain([Criterion { aim, values }]).collect();
    if let Some(most) = couples.bought.spend {
        let prices = laid.totals(None);
        if let [Criterion { aim, values }] = &criteria[..] {
            // Where the best couples of all cost no more than may be spent, there are no better ones that do.
            match held.best(*aim, values, None)? {
                Came::Nothing => return Ok(Found::NOTHING),
                Came::To(choice, is_best) if laid.total(&prices, &choice) <= most.into() => {
                    return found(&held, &criteria, (&choice, is_best), sought);
                }
                Came::To(..) | Came::Open => {}
            }
        }
        held.hold(prices, most.into())?;
    }
    let mut best: Option<JointChoice> = None;
    for (at, Criterion { aim, values }) in criteria.iter().enumerate() {
        match held.best(*aim, values, best.take())? {
            Came::To(choice, true) => {
                if at + 1 < criteria.len() {
                    held.hold(values.clone(), laid.total(values, &choice))?;
                }
                best = Some(choice);
            }
            Came::To(choice, false) => return found(&held, &criteria, (&choice, false), sought),
            Came::Nothing if at == 0 => return Ok(Found::NOTHING),
            Came::Nothing | Came::Open => break,
        }
    }
    match best {
        Some(choice) => found(&held, &criteria, (&choice, true), sought),
        None => Ok(Found { worth: None, is_proven: false }),
    }
}

/// What couples come to by every criterion, gone over by the checker.
fn found(
    held: &Held<'_>,
    criteria: &[Criterion],
    (choice, is_proven): (&JointChoice, bool),
    sought: Sought,
) -> Result<Found, PileError> {
    let mut values = Vec::with_capacity(criteria.len());
    for Criterion { aim, values: own } in criteria {
        values.push(held.checked(*aim, own, choice)?);
    }
    let worth = values.pop().map(|aim| Worth {
        before: values.into_iter().map(|total| total as f64).collect(),
        aim: sought.in_ticks(plain(sought, aim), choice.first.items().len()),
    });
    Ok(Found { worth, is_proven })
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

    /// Every position with a part of either kind, in the order of [`Self::place`].
    pub(super) fn cells(&self) -> impl Iterator<Item = (Slot, Couple)> {
        let number = |count: usize| 0..u32::try_from(count).unwrap_or(u32::MAX);
        let (firsts, seconds) = (number(self.items), number(self.couples.others));
        let couples = move |slot: u32| {
            let seconds = seconds.clone();
            let of_first = move |first: u32| {
                seconds.clone().map(move |second| Couple { first: Item::new(first), second: Item::new(second) })
            };
            firsts.clone().flat_map(of_first).map(move |items| (Slot::new(slot), items))
        };
        number(self.couples.slots).flat_map(couples)
    }

    pub(super) fn place(&self, slot: Slot, Couple { first, second }: Couple) -> usize {
        (slot.index() * self.items + first.index()) * self.couples.others + second.index()
    }

    fn value(&self, layer: usize, slot: Slot, items: Couple) -> Option<i64> {
        *self.layers.get(layer)?.get(self.place(slot, items))?
    }

    /// What every couple adds to a total before the aim, or to what is spent where `criterion` is `None`.
    fn totals(&self, criterion: Option<usize>) -> Vec<i64> {
        let bought = &self.couples.bought;
        let own = |(slot, Couple { first, second }): (Slot, Couple)| {
            let known = Some(first.index()).filter(|&index| index < self.couples.parts);
            let part = known.map(|index| PartId::new(u32::try_from(index).unwrap_or(u32::MAX)));
            let (position, other) = (position(slot), second.index());
            match criterion {
                Some(at) => bought.adds(at, position, part) + bought.other_adds(at, position, other),
                None => bought.price(part) + bought.other_price(other),
            }
        };
        self.cells().map(own).collect()
    }

    /// What couples add up to.
    pub(super) fn total(&self, values: &[i64], choice: &JointChoice) -> i128 {
        let items = choice.first.items().iter().zip(choice.second.items());
        let places =
            (0..).map(Slot::new).zip(items).map(|(slot, (&first, &second))| self.place(slot, Couple { first, second }));
        places.map(|place| i128::from(values.get(place).copied().unwrap_or(0))).sum()
    }

    fn aim(&self, slot: Slot, items: Couple) -> Option<i64> {
        let at = slot.index();
        let value = self.value(0, slot, items)?;
        if items.first.index() >= self.couples.parts {
            let Couples { others, takes_further, takes_other, guards, .. } = self.couples;
            let mut here = guards.iter().filter(|guard| guard.slot == at);
            let holds = here.all(|guard| {
                let value = self.value(guard.layer, slot, items);
                value.is_some_and(|value| (guard.low..=guard.high).contains(&(value as f64)))
            });
            if !holds || !takes_further[at] || !takes_other[at * others + items.second.index()] {
                return None;
            }
        }
        Some(if self.turned { -value } else { value })
    }

    pub(super) fn may_stand(&self, one: Filled, other: Filled) -> bool {
        let near = |&(layer, ticks): &(usize, i64)| {
            let value = |filled: Filled| self.value(layer, filled.slot, filled.items);
            value(one).zip(value(other)).is_some_and(|(one, other)| (one - other).abs() <= ticks)
        };
        let pair = (one.slot.index(), other.slot.index());
        let are_neighbours = || self.couples.neighbours.iter().any(|&(a, b)| (a, b) == pair || (b, a) == pair);
        self.couples.widths.iter().all(near)
            && (self.couples.apart.is_empty() || !are_neighbours() || self.couples.apart.iter().all(near))
    }
}
