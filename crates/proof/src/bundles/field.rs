//! Every bundle that every slot may have, and what is to be refuted of them.

use super::limit::{Beside, SeveralLimit};
use crate::{Item, Measure, Pile, Roles, Sense, Slot, Worth};

/// The largest number of servings that are listed: 2²¹.
const MOST: usize = 1 << 21;

/// A slot with a bundle.
#[derive(Debug)]
pub(super) struct Serving {
    pub(super) slot: usize,
    pub(super) items: Vec<usize>,
    pub(super) value: i64,
}

/// What the arrangements to be refuted keep.
#[derive(Clone, Copy, Debug)]
pub(super) enum Rule {
    /// Nothing further.
    Free,
    /// Σ v, times 1 or −1, is at most so much.
    Total { sign: i128, most: i128 },
    /// n·Σ (v − target)² is at most so much.
    Squares { target: i128, most: i128 },
    /// n·Σ v² − (Σ v)² is at most so much.
    Mean { most: i128 },
    /// Greatest minus smallest value is at most so much.
    Spread { width: i128 },
}

#[derive(Debug)]
pub(super) struct Field {
    pub(super) pile: Pile,
    /// By slot, then lexicographically by bundle.
    pub(super) servings: Vec<Serving>,
    pub(super) rule: Rule,
    pub(super) all_used: bool,
    /// The sum of all values, if it is known.
    pub(super) total: Option<i128>,
    /// What arrangements keep beside.
    pub(super) beside: Vec<Beside>,
}

pub(super) fn item(index: usize) -> Item {
    Item::new(u32::try_from(index).unwrap_or(u32::MAX))
}

pub(super) fn slot(index: usize) -> Slot {
    Slot::new(u32::try_from(index).unwrap_or(u32::MAX))
}

impl Field {
    /// `None` if there are too many bundles to be listed, or numbers leave the range of exact arithmetic.
    pub(super) fn of(pile: Pile, worth: &Worth<'_>, limits: &[SeveralLimit<'_>]) -> Option<Self> {
        let needed = pile.slots.checked_mul(pile.each)?;
        let bundles = bundles(pile)?;
        let mut servings = Vec::new();
        for slot in (0..).map(Slot::new).take(pile.slots) {
            for bundle in &bundles {
                if let Some(value) = worth.value(slot, bundle) {
                    let items = bundle.iter().map(|item| item.index()).collect();
                    servings.push(Serving { slot: slot.index(), items, value });
                }
            }
        }
        let all_used = needed == pile.items;
        let total = total(pile, worth).filter(|_| all_used);
        let beside = Beside::of_all(pile, limits, &mut servings)?;
        Some(Self { pile, servings, rule: Rule::Free, all_used, total, beside })
    }

    /// Leaves what has at most this score by the measure, less being better. `None` if no rule says that, or if the score is
    /// one that nothing has.
    pub(super) fn limit(&mut self, (measure, sense): (Measure, Sense), most: i128) -> Option<()> {
        let slots = i128::try_from(self.pile.slots).ok()?;
        let mut keep = |score: &dyn Fn(i128) -> i128| {
            let wanted: Vec<bool> = self.servings.iter().map(|serving| score(serving.value.into()) <= most).collect();
            let mut each = wanted.iter().copied();
            self.servings.retain(|_| each.next().unwrap_or(false));
            self.beside.iter_mut().for_each(|beside| beside.retain(&wanted));
        };
        match (measure, sense) {
            (Measure::Total, Sense::Least) => self.rule = Rule::Total { sign: 1, most },
            (Measure::Total, Sense::Most) => self.rule = Rule::Total { sign: -1, most },
            (Measure::SquaresFrom { target }, Sense::Least) => {
                self.rule = Rule::Squares { target: target.into(), most: most.checked_mul(slots)? };
            }
            (Measure::SquaresAboutMean, Sense::Least) => self.rule = Rule::Mean { most },
            (Measure::Spread, Sense::Least) => self.rule = Rule::Spread { width: most },
            (Measure::Greatest, Sense::Least) => keep(&|value| value),
            (Measure::Least, Sense::Most) => keep(&|value| -value),
            (Measure::WorstFrom { target }, Sense::Least) => keep(&|value| (value - i128::from(target)).abs()),
            _ => return None,
        }
        Some(())
    }
}

/// The bundles of a pile in lexicographic order; `None` if there are too many.
fn bundles(pile: Pile) -> Option<Vec<Vec<Item>>> {
    let items = u32::try_from(pile.items).ok()?;
    let most = MOST / pile.slots.max(1);
    let mut all = vec![Vec::new()];
    for _ in 0..pile.each {
        let mut longer: Vec<Vec<Item>> = Vec::new();
        for bundle in &all {
            for item in (0..items).map(Item::new) {
                let is_next = match pile.roles {
                    Roles::Alike => bundle.last().is_none_or(|&last| last < item),
                    Roles::Told => !bundle.contains(&item),
                };
                if is_next {
                    longer.push(bundle.iter().copied().chain([item]).collect());
                }
                if longer.len() > most {
                    return None;
                }
            }
        }
        all = longer;
        if all.is_empty() {
            break;
        }
    }
    Some(all)
}

/// What all arrangements that use every item add up to, if that is one number.
fn total(pile: Pile, worth: &Worth<'_>) -> Option<i128> {
    let Worth::Sum { base, table } = worth else {
        return None;
    };
    let shape = table.shape();
    if pile.slots == 0 || shape.slots != pile.slots || shape.items != pile.items || base.len() != pile.slots {
        return None;
    }
    let each = i128::try_from(pile.each).ok()?;
    let top = table.row(Slot::new(0));
    let mut total: i128 = top.iter().map(|&value| i128::from(value)).sum();
    for (slot, &base) in table.slots().zip(*base) {
        let row = table.row(slot);
        let lift = i128::from(*row.first()?) - i128::from(*top.first()?);
        let is_lifted = |(&value, &above): (&i64, &i64)| i128::from(value) - i128::from(above) == lift;
        if row.contains(&crate::Table::FORBIDDEN) || !row.iter().zip(top).all(is_lifted) {
            return None;
        }
        total = total.checked_add(lift.checked_mul(each)?)?.checked_add(base.into())?;
    }
    Some(total)
}
