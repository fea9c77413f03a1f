//! A problem whose slots take several items each.

use super::field::Field;
use pairwright_proof::{Item, Measure, Pile, Roles, Sense, SeveralLimit, SeveralRule, Slot, Table, Worth};

/// Slots that take `each` items from one pile, best by one measure.
///
/// ```
/// use pairwright_assign::several::{SeveralOutcome, SeveralProblem, solve_several};
/// use pairwright_assign::{Item, Measure, Pile, Roles, Sense, Shape, Table, Worth};
///
/// // Two slots take two of five items each; what an item brings is the same everywhere.
/// let items = [1, 2, 4, 8, 9];
/// let table = Table::from_fn(Shape { slots: 2, items: 5 }, |_, item| Some(items[item.index()]))?;
/// let pile = Pile { slots: 2, items: 5, each: 2, roles: Roles::Alike };
/// let worth = Worth::Sum { base: &[0, 1], table: &table };
///
/// let problem = SeveralProblem::new(pile, &worth, Measure::Spread, Sense::Least)?;
/// let SeveralOutcome::Proven { arrangement: best, .. } = solve_several(&problem) else { panic!("ten bundles a slot") };
/// // 0 + 4 + 8 and 1 + 2 + 9 are the same.
/// assert_eq!(best.bundles.0, [[2, 3], [1, 4]].map(|bundle| bundle.map(Item::new).to_vec()));
/// assert_eq!(best.value, 0);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Clone, Debug)]
pub struct SeveralProblem<'t> {
    pub(super) pile: Pile,
    pub(super) worth: &'t Worth<'t>,
    pub(super) measure: Measure,
    pub(super) sense: Sense,
    pub(super) field: Field,
    pub(super) effort: u64,
    /// Squares about the mean are wanted of arrangements with at most this spread.
    pub(super) spread: i64,
    /// There are limits.
    pub(super) is_limited: bool,
    /// A limit says that the spread is at most this.
    pub(super) within: i64,
    /// Neither a proof nor the first of equals is wanted.
    pub(super) value_alone: bool,
}

/// Why numbers do not make a problem whose slots take several items.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SeveralError {
    /// More bundles or items than can be listed.
    #[error("{} slots of {} out of {} items have too many bundles to be listed", pile.slots, pile.each, pile.items)]
    TooLarge {
        /// The pile.
        pile: Pile,
    },
    /// The base or the table of a sum does not fit the pile.
    #[error("the values are for {found} slots or items, the pile has {expected}")]
    Shape {
        /// How many the pile has.
        expected: usize,
        /// How many the values are for.
        found: usize,
    },
    /// A value is too large to calculate with.
    #[error("the value {value} of a bundle of slot {slot} is outside ±{}", Table::LIMIT)]
    Magnitude {
        /// The slot.
        slot: Slot,
        /// The value.
        value: i64,
    },
    /// A target beyond what values may be.
    #[error("the target {target} is outside ±{}", Table::LIMIT)]
    Target {
        /// The target given, in ticks.
        target: i64,
    },
    /// A limit that cannot be kept: in the other sense of its measure, over slots that are not there, or too large.
    #[error("limit {limit} over all slots is none that can be kept")]
    Limit {
        /// Its place among the limits.
        limit: usize,
    },
    /// A measure that is solved in the other sense only.
    #[error("the measure {measure:?} is not solved in the sense {sense:?}")]
    Sense {
        /// The measure.
        measure: Measure,
        /// The sense asked for.
        sense: Sense,
    },
}

impl<'t> SeveralProblem<'t> {
    /// How many bundles the search may look at by default, one as often as it is looked at.
    pub const USUAL_EFFORT: u64 = 2_000_000_000;
    /// The largest number of items in a pile.
    pub const MOST_ITEMS: usize = 128;
    /// The largest number of bundles, all slots together.
    pub const MOST_BUNDLES: usize = 1 << 21;

    /// A problem; every bundle of every slot is listed. [`Measure::Total`] is solved in either sense, [`Measure::Least`] to
    /// be most, the others to be least.
    ///
    /// # Errors
    /// [`SeveralError`] if there are more than [`Self::MOST_ITEMS`] items or [`Self::MOST_BUNDLES`] bundles, a value or
    /// a target is beyond [`Table::LIMIT`], a sum does not fit the pile, or the sense is not one that is solved.
    pub fn new(pile: Pile, worth: &'t Worth<'t>, measure: Measure, sense: Sense) -> Result<Self, SeveralError> {
        let as_asked = match measure {
            Measure::Total => true,
            Measure::Least => sense == Sense::Most,
            _ => sense == Sense::Least,
        };
        if !as_asked {
            return Err(SeveralError::Sense { measure, sense });
        }
        if let Measure::WorstFrom { target } | Measure::SquaresFrom { target } = measure
            && !(-Table::LIMIT..=Table::LIMIT).contains(&target)
        {
            return Err(SeveralError::Target { target });
        }
        if let Worth::Sum { base, table } = worth {
            let pairs =
                [(pile.slots, base.len()), (pile.slots, table.shape().slots), (pile.items, table.shape().items)];
            if let Some(&(expected, found)) = pairs.iter().find(|(expected, found)| expected != found) {
                return Err(SeveralError::Shape { expected, found });
            }
        }
        let field = Field::of(pile, worth)?;
        Ok(Self {
            pile,
            worth,
            measure,
            sense,
            field,
            effort: Self::USUAL_EFFORT,
            spread: i64::MAX,
            is_limited: false,
            within: i64::MAX,
            value_alone: false,
        })
    }

    /// The same problem, with so many bundles to look at, and as many again for the proof.
    #[must_use]
    pub fn with_effort(mut self, bundles: u64) -> Self {
        self.effort = bundles;
        self
    }

    /// The same problem among arrangements that keep limits. A limit on the spread of the values themselves narrows the
    /// search for least squares, too.
    ///
    /// # Errors
    /// [`SeveralError::Limit`] for a limit that cannot be kept, [`SeveralError::Magnitude`] for a value beyond
    /// [`Table::LIMIT`].
    pub fn with_limits(mut self, limits: &[SeveralLimit<'_>]) -> Result<Self, SeveralError> {
        for (at, limit) in limits.iter().enumerate() {
            self.is_limited = true;
            self.field = self.field.limited(at, limit)?;
            if let (None, SeveralRule::NoWorse { measure: Measure::Spread, than, .. }) = (limit.worth, limit.rule) {
                self.within = self.within.min(i64::try_from(than).unwrap_or(i64::MAX));
            }
        }
        Ok(self)
    }

    /// The same problem among arrangements whose spread is at most this many ticks, for [`Measure::SquaresAboutMean`]; another
    /// measure takes no notice. No proof speaks of both: the outcome is [`SeveralOutcome::Searched`] at best.
    ///
    /// [`SeveralOutcome::Searched`]: super::SeveralOutcome::Searched
    #[must_use]
    pub fn with_spread_at_most(mut self, ticks: i64) -> Self {
        self.spread = if self.measure == Measure::SquaresAboutMean { ticks } else { i64::MAX };
        self
    }

    /// The same problem, asked for the best value alone: any arrangement that has it, and no proof, which takes most of the
    /// time. The outcome is [`SeveralOutcome::Searched`] at best.
    ///
    /// [`SeveralOutcome::Searched`]: super::SeveralOutcome::Searched
    #[must_use]
    pub fn for_value_alone(mut self) -> Self {
        self.value_alone = true;
        self
    }
}

/// The bundles of a pile in lexicographic order; `None` if there are more than `most`.
pub(super) fn bundles(pile: Pile, most: usize) -> Option<Vec<Vec<Item>>> {
    let items = u32::try_from(pile.items).ok()?;
    let mut all = vec![Vec::new()];
    for _ in 0..pile.each {
        let mut longer = Vec::new();
        for bundle in &all {
            let from = match (pile.roles, bundle.last()) {
                (Roles::Alike, Some(last)) => Item::number(*last) + 1,
                _ => 0,
            };
            for item in (from..items).map(Item::new).filter(|item| !bundle.contains(item)) {
                longer.push(bundle.iter().copied().chain([item]).collect());
                if longer.len() > most {
                    return None;
                }
            }
        }
        all = longer;
    }
    Some(all)
}
