//! Walks through a proof and believes nothing of it.

use super::scope::Scope;
use super::windows::{Field, Open};
use crate::{
    Item, JointChoice, JointFault, JointProof, JointStatement, JointStatementError, Measure, Outer, OuterProof, Scale,
    Segment, Side, Slot, Step, check_joint,
};

/// The first thing in a proof that does not hold.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum JointProofFault {
    /// The statement itself does not hold together.
    #[error("not a joint problem")]
    Statement(#[source] JointStatementError),
    /// The choice itself breaks a rule or is not worth what is claimed.
    #[error("the choice does not hold")]
    Choice(#[source] JointFault),
    /// Proofs speak of spreads, worst distances, totals and squares, and not of spreads and distances beyond the `i64`.
    #[error("no proof speaks of {measure:?}")]
    Measure {
        /// The measure.
        measure: Measure,
    },
    /// Not one entry for every outer choice.
    #[error("{found} entries stand for {expected} outer choices")]
    Outers {
        /// Number of outer choices.
        expected: usize,
        /// Number of entries.
        found: usize,
    },
    /// An outer choice is not like the earlier one named.
    #[error("outer choice {outer} is not like {other}")]
    Unlike {
        /// The outer choice.
        outer: Outer,
        /// What it is said to be like.
        other: Outer,
    },
    /// The scale gives a value too large to calculate with.
    #[error("a value of outer choice {outer} is too large to calculate with")]
    Magnitude {
        /// The outer choice.
        outer: Outer,
    },
    /// No segment covers a value that a slot, or of squares about the mean a sum that a choice, can have.
    #[error("the windows or sums of outer choice {outer} at {value} are not covered")]
    Uncovered {
        /// The outer choice.
        outer: Outer,
        /// The value.
        value: i64,
    },
    /// A step that does not hold where it stands.
    #[error("step {step} of segment {segment} of outer choice {outer} does not hold")]
    Step {
        /// The outer choice.
        outer: Outer,
        /// Place of the segment.
        segment: usize,
        /// Place of the step.
        step: usize,
    },
    /// A tree ends while nodes are open, or goes on when none is.
    #[error("segment {segment} of outer choice {outer} has {found} steps too few or too many")]
    Length {
        /// The outer choice.
        outer: Outer,
        /// Place of the segment.
        segment: usize,
        /// Number of steps given.
        found: usize,
    },
}

/// Whether `proof` shows that no choice of `statement` has a smaller `measure` than `choice`, which is worth `claimed`.
///
/// Takes O(N log N) for the N triples of every outer choice, and for every step one look at the triples open there.
///
/// # Errors
/// The first [`JointProofFault`] found.
pub fn verify_joint(
    statement: &JointStatement<'_>,
    measure: Measure,
    choice: &JointChoice,
    claimed: i128,
    proof: &JointProof,
) -> Result<(), JointProofFault> {
    verify_joint_using(statement, None, measure, choice, claimed, proof)
}

/// The same among the choices that use this item of the first kind, as `choice` does.
///
/// # Errors
/// The first [`JointProofFault`] found.
pub fn verify_joint_using(
    statement: &JointStatement<'_>,
    used: Option<Item>,
    measure: Measure,
    choice: &JointChoice,
    claimed: i128,
    proof: &JointProof,
) -> Result<(), JointProofFault> {
    check_joint(statement, measure, choice, claimed).map_err(JointProofFault::Choice)?;
    if let Some(item) = used.filter(|&item| choice.first.slot(item).is_none()) {
        return Err(JointProofFault::Choice(JointFault::Unused { item }));
    }
    let wanted = match measure {
        Measure::Greatest | Measure::Least => return Err(JointProofFault::Measure { measure }),
        Measure::Total => Wanted::Summed { measure, claimed },
        _ if claimed == 0 => return Ok(()), // Nothing is better than 0.
        Measure::Spread | Measure::WorstFrom { .. } => {
            let width = i64::try_from(claimed - 1).map_err(|_| JointProofFault::Measure { measure })?;
            let target = if let Measure::WorstFrom { target } = measure { Some(target) } else { None };
            Wanted::Within { width, target }
        }
        Measure::SquaresFrom { .. } | Measure::SquaresAboutMean => Wanted::Summed { measure, claimed },
    };
    check_outers(statement, used, wanted, proof)
}

/// Whether `proof` shows that `statement` has no choice at all; if an item of the first kind is named, none that uses it.
///
/// Costs what [`verify_joint`] does.
///
/// # Errors
/// The first [`JointProofFault`] found.
pub fn check_joint_impossible(
    statement: &JointStatement<'_>,
    used: Option<Item>,
    proof: &JointProof,
) -> Result<(), JointProofFault> {
    statement.check().map_err(JointProofFault::Statement)?;
    check_outers(statement, used, Wanted::Any, proof)
}

fn check_outers(
    statement: &JointStatement<'_>,
    used: Option<Item>,
    wanted: Wanted,
    proof: &JointProof,
) -> Result<(), JointProofFault> {
    let (expected, found) = (statement.offsets.len(), proof.outers.len());
    if expected != found {
        return Err(JointProofFault::Outers { expected, found });
    }
    for (outer, of_outer) in (0..).map(Outer::new).zip(&proof.outers) {
        match of_outer {
            OuterProof::Like(other) if wanted.is_like(statement, outer, *other) => {}
            OuterProof::Like(other) => return Err(JointProofFault::Unlike { outer, other: *other }),
            OuterProof::Windows(segments) => Walk { statement, outer, used, wanted }.check(segments)?,
        }
    }
    Ok(())
}

/// What the choices that there are said to be none of have in common.
#[derive(Clone, Copy)]
enum Wanted {
    /// Nothing: they are all there are.
    Any,
    /// All values within so much of each other, or of the target of a worst distance.
    Within { width: i64, target: Option<i64> },
    /// A sum of costs that is better than claimed.
    Summed { measure: Measure, claimed: i128 },
}

impl Wanted {
    /// Whether what holds of an earlier outer choice holds of this one.
    fn is_like(self, statement: &JointStatement<'_>, outer: Outer, other: Outer) -> bool {
        // Values that follow freely from the outer choice are alike for no two of them.
        if other >= outer || matches!(statement.scale, Scale::Free(_)) || statement.beside.is_some() {
            return false;
        }
        let is_sum = matches!(statement.scale, Scale::Sum);
        let may_shift = match self {
            // No sum is forbidden.
            Self::Any if is_sum => return true,
            Self::Any => false,
            Self::Within { target, .. } => is_sum && target.is_none(),
            Self::Summed { measure, .. } => is_sum && measure == Measure::SquaresAboutMean,
        };
        let pairs = statement.offsets[outer.index()].iter().zip(&statement.offsets[other.index()]);
        let mut apart = pairs.map(|(one, other)| one - other);
        let first = apart.next().unwrap_or(0);
        (first == 0 || may_shift) && apart.all(|next| next == first)
    }
}

struct Walk<'a> {
    statement: &'a JointStatement<'a>,
    outer: Outer,
    /// An item of the first kind that has to be used.
    used: Option<Item>,
    wanted: Wanted,
}

impl Walk<'_> {
    fn check(&self, segments: &[Segment]) -> Result<(), JointProofFault> {
        let outer = self.outer;
        let field = Field::of(self.statement, outer).ok_or(JointProofFault::Magnitude { outer })?;
        let uncovered = match self.wanted {
            Wanted::Within { target: None, .. } => field.uncovered(segments),
            Wanted::Summed { measure: Measure::SquaresAboutMean, .. } if field.total.is_none() => {
                field.uncovered_sum(segments, self.statement.slots())
            }
            Wanted::Within { target, .. } => (segments.len() != 1).then_some(target.unwrap_or(0)),
            Wanted::Any | Wanted::Summed { .. } => (segments.len() != 1).then_some(0),
        };
        if let Some(value) = uncovered {
            return Err(JointProofFault::Uncovered { outer, value });
        }
        (0..).zip(segments).try_for_each(|(at, segment)| self.check_segment(&field, at, segment))
    }

    fn check_segment(&self, field: &Field, at: usize, segment: &Segment) -> Result<(), JointProofFault> {
        let outer = self.outer;
        let (root, scope) = match self.wanted {
            Wanted::Any => (field.window(i64::MIN, i64::MAX), None),
            Wanted::Within { width, target: Some(target) } => {
                (field.window(target.saturating_sub(width), target.saturating_add(width)), None)
            }
            Wanted::Within { width, target: None } => {
                (field.window(segment.from.saturating_sub(width), segment.to), None)
            }
            Wanted::Summed { measure, claimed } => {
                let scope = Scope::of(self.statement, measure, claimed, segment, field.total);
                let scope = scope.ok_or(JointProofFault::Magnitude { outer })?;
                let (low, high) = scope.reach();
                (field.window(low, high), Some(scope))
            }
        };
        let length = JointProofFault::Length { outer, segment: at, found: segment.steps.len() };
        let mut nodes = vec![root];
        for (step_at, step) in segment.steps.iter().enumerate() {
            let open = nodes.pop().ok_or(length.clone())?.settled(self.statement, outer, scope.as_ref());
            let children = self.follow((field, scope.as_ref()), &open, step);
            let fault = JointProofFault::Step { outer, segment: at, step: step_at };
            nodes.extend(children.ok_or(fault)?.into_iter().rev());
        }
        if nodes.is_empty() { Ok(()) } else { Err(length) }
    }

    /// The nodes that a step opens; `None` if it does not hold.
    fn follow(&self, (field, scope): (&Field, Option<&Scope>), open: &Open, step: &Step) -> Option<Vec<Open>> {
        let closed = |holds: bool| holds.then(Vec::new);
        match step {
            Step::Short { side, slots } => {
                closed(slots.iter().all(|&slot| self.is_slot(slot)) && open.is_short(*side, slots))
            }
            Step::Cover { first, second } => closed(open.is_covered(first, second, self.statement.slots())),
            Step::Total => {
                let sums = match scope {
                    Some(scope) => (scope.low, scope.high),
                    None => (field.total?, field.total?),
                };
                closed(open.misses(sums, self.statement.slots()))
            }
            Step::Costs => closed(open.exceeds(scope?, self.statement.slots())),
            Step::Split { slot, side } => self.is_slot(*slot).then(|| open.split(*slot, *side)),
            Step::Seat { side, item } => self.is_used_up(*side, *item).then(|| open.seat(*side, *item)),
        }
    }

    fn is_slot(&self, slot: Slot) -> bool {
        slot.index() < self.statement.slots()
    }

    /// Whether the item has to be used, by itself or as all of its kind are.
    fn is_used_up(&self, side: Side, item: Item) -> bool {
        let table = match side {
            Side::First => self.statement.first,
            Side::Second => self.statement.second,
        };
        let is_asked_for = side == Side::First && self.used == Some(item);
        (is_asked_for || table.shape().items == self.statement.slots()) && item.index() < table.shape().items
    }
}
