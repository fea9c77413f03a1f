//! The proof of a joint answer, as the checker reads it.

mod cover;
mod scope;
mod segments;
mod stretches;
mod tree;

use super::budget::{Budget, Stop};
use super::ground::Ground;
use super::meter::Meter;
use super::problem::{JointAim, JointError, JointProblem};
use pairwright_proof::{JointProof, Outer, OuterProof, Scale, Segment, Table};
use segments::Windows;
use stretches::Stretches;
use tree::Tree;

/// Why there is no proof.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum NoProof {
    /// The value is none that a choice can have, or too large to calculate with.
    #[error("no proof covers this value of the aim")]
    Aim,
    /// The budget ended before the proof did.
    #[error("the proof was not finished: {0:?}")]
    Stopped(Stop),
    /// A tree would have more than [`JointProof::MOST_STEPS`] steps.
    #[error("the proof would have more than {} steps", JointProof::MOST_STEPS)]
    Long,
    /// There is a better choice than the one claimed, or one at all.
    #[error("there is a better choice")]
    NotBest,
    /// The problem cannot be asked at all.
    #[error("the problem cannot be solved")]
    Problem(#[from] JointError),
}

/// A proof that no choice has a smaller value of the aim than `value`, for
/// [`verify_joint`](pairwright_proof::verify_joint) or, where an item was brought in,
/// [`verify_joint_using`](pairwright_proof::verify_joint_using).
///
/// Made anew from the problem and the value alone, in the language of the checker: neighbouring windows closed
/// together where a slot stays empty or the known total is missed, else a tree that places one item of one kind at a time
/// until some slots have too few items (Hall 1935), or fewer items than slots are part of every pair (König 1931). Totals and squares have no windows: a tree is closed, and triples are
/// taken out of it, where the least costs of the slots come to too much (Land and Doig 1960), squares about an unknown
/// mean for one stretch of sums after the other, each halved while it is long and not closed at once. Takes about as long as the
/// search's last pass, exponential in the number of slots at worst; the nodes of its trees are counted against the budget.
///
/// # Errors
/// [`NoProof`] for values that are not the least, where a proof would be too long, or when the budget ends.
pub fn prove_joint(problem: &JointProblem<'_>, value: i128, budget: &Budget<'_>) -> Result<JointProof, NoProof> {
    let aim = problem.aim();
    if value == 0 && aim != JointAim::Total {
        return Ok(JointProof { outers: Vec::new() });
    }
    if problem.statement().slots() == 0 {
        // Nothing is chosen, and nothing but 0 is what that is worth.
        return Err(NoProof::NotBest);
    }
    let below = value.checked_sub(1).filter(|&below| below >= 0 || aim == JointAim::Total).ok_or(NoProof::Aim)?;
    let ground = Ground::new(problem);
    let mut meter = Meter::new(budget);
    let width = || i64::try_from(below).map_err(|_| NoProof::Aim);
    let is_like = |one: &[i64], other: &[i64]| is_like(problem, one, other);
    each_outer(problem, is_like, |outer| match aim {
        JointAim::Spread => Windows::new(&ground, outer, width()?)?.below_every_top(&mut meter),
        JointAim::WorstFrom { target } => Windows::new(&ground, outer, width()?)?.around(target, &mut meter),
        JointAim::SquaresFrom { .. } | JointAim::SquaresAboutMean | JointAim::Total => {
            Stretches::new(&ground, outer, aim, value)?.segments(&mut meter)
        }
    })
}

/// A proof that there is no choice, whatever it is worth, for
/// [`check_joint_impossible`](pairwright_proof::check_joint_impossible).
///
/// For every outer choice that differs in what it forbids a tree as in [`prove_joint`] over all there is, so exponential in
/// the number of slots at worst; what comes out is no longer than [`JointProof::MOST_STEPS`].
///
/// # Errors
/// [`NoProof`] if there is a choice ([`NoProof::NotBest`]), where a proof would be too long, or when the budget ends.
///
/// # Examples
/// ```
/// use pairwright_assign::{
///     Budget, Couple, Item, JointAim, JointProblem, JointStatement, Scale, Shape, Table, prove_joint_impossible,
/// };
/// use pairwright_proof::check_joint_impossible;
///
/// // Two slots, two items of each kind; item 0 of the first kind must not meet any of the second.
/// let zeros = Table::from_fn(Shape { slots: 2, items: 2 }, |_, _| Some(0))?;
/// let barred = [0, 1].map(|second| Couple { first: Item::new(0), second: Item::new(second) });
/// let offsets = [vec![0, 0]];
/// let statement = JointStatement {
///     first: &zeros,
///     second: &zeros,
///     barred: &barred,
///     offsets: &offsets,
///     scale: Scale::Sum,
///     beside: None,
/// };
/// let problem = JointProblem::new(statement, JointAim::Spread)?;
/// let proof = prove_joint_impossible(&problem, &Budget::default())?;
/// assert_eq!(check_joint_impossible(&statement, None, &proof), Ok(()));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn prove_joint_impossible(problem: &JointProblem<'_>, budget: &Budget<'_>) -> Result<JointProof, NoProof> {
    if problem.statement().slots() == 0 {
        return Err(NoProof::NotBest);
    }
    let ground = Ground::new(problem);
    let mut meter = Meter::new(budget);
    let statement = problem.statement();
    let is_like = |one: &[i64], other: &[i64]| match statement.scale {
        Scale::Sum => statement.beside.is_none(),
        Scale::Map(_) => statement.beside.is_none() && one == other,
        Scale::Free(_) => false,
    };
    each_outer(problem, is_like, |outer| {
        let mut triples = ground.triples(outer)?;
        triples.sort_by_key(|triple| triple.value);
        let mut tree = Tree::new(&ground, outer, None, &mut meter);
        tree.close(&triples)?;
        Ok(vec![Segment { from: 0, to: 0, steps: tree.steps }])
    })
}

/// A proof made of what there is to say of every outer choice that is not like one before.
fn each_outer(
    problem: &JointProblem<'_>,
    is_like: impl Fn(&[i64], &[i64]) -> bool,
    mut segments: impl FnMut(Outer) -> Result<Vec<Segment>, NoProof>,
) -> Result<JointProof, NoProof> {
    let offsets = problem.statement().offsets;
    let mut different: Vec<Outer> = Vec::new();
    let mut outers = Vec::new();
    let mut steps = 0;
    for outer in (0..).map(Outer::new).take(offsets.len()) {
        let like = different.iter().find(|other| is_like(&offsets[outer.index()], &offsets[other.index()]));
        if let Some(&other) = like {
            outers.push(OuterProof::Like(other));
            continue;
        }
        different.push(outer);
        let segments = segments(outer)?;
        steps += segments.iter().map(|segment| segment.steps.len()).sum::<usize>();
        if steps > JointProof::MOST_STEPS {
            return Err(NoProof::Long);
        }
        outers.push(OuterProof::Windows(segments));
    }
    Ok(JointProof { outers })
}

/// Whether what holds of the values under one outer choice holds under the other, of which these are the offsets.
fn is_like(problem: &JointProblem<'_>, one: &[i64], other: &[i64]) -> bool {
    let statement = problem.statement();
    if matches!(statement.scale, Scale::Free(_)) || statement.beside.is_some() {
        return false;
    }
    let mut apart = one.iter().zip(other).map(|(one, other)| one - other);
    let first = apart.next().unwrap_or(0);
    let may_shift =
        matches!(problem.aim(), JointAim::Spread | JointAim::SquaresAboutMean) && matches!(statement.scale, Scale::Sum);
    (first == 0 || may_shift) && apart.all(|next| next == first)
}

/// The total that the checker derives too: it asks for tables without forbidden pairs.
fn known_total(ground: &Ground<'_>, outer: Outer) -> Option<i128> {
    let statement = ground.statement;
    let is_whole = |table: &Table| table.slots().all(|slot| !table.row(slot).contains(&Table::FORBIDDEN));
    let is_plain = matches!(statement.scale, Scale::Sum) && is_whole(statement.first) && is_whole(statement.second);
    ground.total(outer).filter(|_| is_plain)
}
