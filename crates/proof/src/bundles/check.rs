//! What a proof is checked against: a claim, or that there is no arrangement.

use super::field::Field;
use super::limit::{SeveralLimit, broken};
use super::proof::SeveralProof;
use super::walk::{Flaw, refute};
use crate::{Bundles, Measure, Pile, Sense, SeveralFault, Worth, check_bundles};

/// The first thing in a proof about bundles that does not hold.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum SeveralProofFault {
    /// The bundles themselves break a rule or are not worth what is claimed.
    #[error("the bundles do not hold")]
    Bundles(#[source] SeveralFault),
    /// No proof speaks of the measure in that sense.
    #[error("no proof speaks of {measure:?} in the sense {sense:?}")]
    Measure {
        /// The measure.
        measure: Measure,
        /// The sense.
        sense: Sense,
    },
    /// More bundles than can be listed, or numbers that leave the range of exact arithmetic.
    #[error("bundles or numbers are too many or too large")]
    TooLarge,
    /// A step that does not hold where it stands.
    #[error("step {step} does not hold")]
    Step {
        /// Its place.
        step: usize,
    },
    /// The tree ends while nodes are open, or goes on when none is.
    #[error("{found} steps are too few or too many")]
    Length {
        /// Number of steps.
        found: usize,
    },
}

/// Whether `proof` shows that no arrangement is better by the measure, in that sense, than `bundles`, which are worth
/// `claimed`.
///
/// Solves nothing: lists the bundles of every slot, N in all, and for every way that a step leaves takes a few looks at the
/// servings open at the step's node. Cuts leave as many ways as the proof has numbers; a slot tried bundle by bundle leaves
/// one a bundle, and an item one a slot. So the time is O(N·M) at worst with M ways, linear in the proof for a given pile; the
/// memory is what one branch holds, limited by [`SeveralProof::MOST_HELD`].
///
/// The proof speaks of the value. Whether the bundles are the first of those with it, it does not say.
///
/// # Errors
/// The first [`SeveralProofFault`] found.
///
/// # Examples
/// ```
/// use pairwright_proof::{
///     Bundles, Item, Measure, Pile, Roles, Sense, SeveralProof, SeveralStep, Shape, Table, Worth, check_several_proof,
/// };
///
/// // Two slots take two of four items each: 1 + 8 and 2 + 4 are nearest together.
/// let items = [1, 2, 4, 8];
/// let table = Table::from_fn(Shape { slots: 2, items: 4 }, |_, item| Some(items[item.index()]))?;
/// let (pile, worth) = (
///     Pile { slots: 2, items: 4, each: 2, roles: Roles::Alike },
///     Worth::Sum { base: &[0, 0], table: &table },
/// );
/// let bundles = Bundles(vec![vec![Item::new(0), Item::new(3)], vec![Item::new(1), Item::new(2)]]);
/// // All items are used, so that values add up to 15: none is above 8 if both are within 2 of each other, and none
/// // that is below holds 8.
/// let proof = SeveralProof { steps: vec![SeveralStep::Tops(vec![8])] };
/// let check = |proof| check_several_proof(pile, &worth, (Measure::Spread, Sense::Least), &bundles, 3, proof);
/// assert_eq!(check(&proof), Ok(()));
/// assert!(check(&SeveralProof::default()).is_err());
/// # Ok::<(), pairwright_proof::TableError>(())
/// ```
pub fn check_several_proof(
    pile: Pile,
    worth: &Worth<'_>,
    (measure, sense): (Measure, Sense),
    bundles: &Bundles,
    claimed: i128,
    proof: &SeveralProof,
) -> Result<(), SeveralProofFault> {
    check_several_proof_within(pile, worth, &[], (measure, sense), bundles, claimed, proof)
}

/// The same among arrangements that keep limits, which `bundles` have to keep, too.
///
/// # Errors
/// The first [`SeveralProofFault`] found.
pub fn check_several_proof_within(
    pile: Pile,
    worth: &Worth<'_>,
    limits: &[SeveralLimit<'_>],
    (measure, sense): (Measure, Sense),
    bundles: &Bundles,
    claimed: i128,
    proof: &SeveralProof,
) -> Result<(), SeveralProofFault> {
    check_bundles_within(pile, worth, limits, measure, bundles, claimed).map_err(SeveralProofFault::Bundles)?;
    let is_never_below_zero = !matches!(measure, Measure::Total | Measure::Greatest | Measure::Least);
    // Without slots everything is worth 0.
    if (claimed == 0 && is_never_below_zero && sense == Sense::Least) || pile.slots == 0 {
        return Ok(());
    }
    let score = if sense == Sense::Least { Some(claimed) } else { claimed.checked_neg() };
    let better = score.and_then(|score| score.checked_sub(1)).ok_or(SeveralProofFault::TooLarge)?;
    let mut field = Field::of(pile, worth, limits).ok_or(SeveralProofFault::TooLarge)?;
    field.limit((measure, sense), better).ok_or(SeveralProofFault::Measure { measure, sense })?;
    follow(&field, proof)
}

/// Whether `proof` shows that there is no arrangement at all. The time is that of [`check_several_proof`].
///
/// # Errors
/// The first [`SeveralProofFault`] found.
pub fn check_several_impossible(pile: Pile, worth: &Worth<'_>, proof: &SeveralProof) -> Result<(), SeveralProofFault> {
    check_several_impossible_within(pile, worth, &[], proof)
}

/// The same of arrangements that keep limits.
///
/// # Errors
/// The first [`SeveralProofFault`] found.
pub fn check_several_impossible_within(
    pile: Pile,
    worth: &Worth<'_>,
    limits: &[SeveralLimit<'_>],
    proof: &SeveralProof,
) -> Result<(), SeveralProofFault> {
    follow(&Field::of(pile, worth, limits).ok_or(SeveralProofFault::TooLarge)?, proof)
}

/// Whether bundles keep every rule of a pile and every limit, and are worth the claimed value.
///
/// # Errors
/// The first [`SeveralFault`] found: what [`check_bundles`] finds, then limits.
pub fn check_bundles_within(
    pile: Pile,
    worth: &Worth<'_>,
    limits: &[SeveralLimit<'_>],
    measure: Measure,
    bundles: &Bundles,
    claimed: i128,
) -> Result<(), SeveralFault> {
    check_bundles(pile, worth, measure, bundles, claimed)?;
    broken(worth, limits, bundles)
}

fn follow(field: &Field, proof: &SeveralProof) -> Result<(), SeveralProofFault> {
    refute(field, &proof.steps).map_err(|flaw| match flaw {
        Flaw::Step(step) => SeveralProofFault::Step { step },
        Flaw::Length => SeveralProofFault::Length { found: proof.steps.len() },
        Flaw::Beyond => SeveralProofFault::TooLarge,
    })
}
