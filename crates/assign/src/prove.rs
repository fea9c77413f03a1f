//! Proofs of what was solved: why no choice is better, level by level.
//!
//! A level is refuted as the checker will read it: among the choices within the limits of the levels before, none
//! scores
//! less. Windows are divided by their smallest values, sums and squares are priced, and the pairs that cost too much
//! are
//! taken away, until what is left has no choice.

mod refute;
mod sums;

use crate::best::{Method, score};
use crate::chain::solve;
use crate::outcome::{Outcome, Solution};
use crate::problem::Problem;
use crate::region::Region;
use pairwright_proof::{Level, Proof, Refutation, Sense};
use refute::{Left, Refuter};

/// What backs an outcome.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Evidence {
    /// Why the choice is the best by the first levels of the chain, as many as the proof has.
    Proof(Proof),
    /// Why there is no choice.
    Impossible(Refutation),
    /// Nothing was found that a checker could follow.
    None,
}

/// Solves a problem and gives a proof that [`check_proof`](pairwright_proof::check_proof) or
/// [`check_impossible`](pairwright_proof::check_impossible) accepts without solving.
///
/// The proof reaches from the first level to the last one it can prove; how many those are is the number of its
/// levels. Always
/// proven is a first level with an exact method, if it fits the room for proofs (a fixed number of pairs looked at).
/// Not
/// proven are greatest spread and all other goals that want values far out, most levels after a sum or squares that
/// gave
/// some slack, levels after another one that is not proven, and the last tie. The time is that of [`solve`] and about
/// one more
/// solve for every window, sum and level that has to be refuted.
///
/// # Examples
/// ```
/// use pairwright_assign::{Criterion, Evidence, Measure, Outcome, Problem, Sense, Shape, Table, solve_with_proof};
/// use pairwright_proof::check_proof;
///
/// let table = Table::from_cells(Shape { slots: 2, items: 3 }, &[Some(3), Some(1), Some(9), Some(2), Some(5),
/// Some(7)])?;
/// let least = |measure| Criterion { table: &table, measure, sense: Sense::Least, slack: 0 };
/// let problem = Problem::new(vec![least(Measure::Spread), least(Measure::Total)], vec![])?;
///
/// let (Outcome::Proven(best), Evidence::Proof(proof)) = solve_with_proof(&problem) else { panic!("both are exact") };
/// let checked = check_proof(&problem.statement(), &best.choice, &best.values, &proof)?;
/// assert_eq!((best.values, checked.levels), (vec![1, 3], 2));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn solve_with_proof(problem: &Problem<'_>) -> (Outcome, Evidence) {
    let outcome = solve(problem);
    let evidence = match &outcome {
        Outcome::Impossible(_) => impossible(problem).map_or(Evidence::None, Evidence::Impossible),
        Outcome::Proven(solution) | Outcome::BestFound { solution, .. } => Evidence::Proof(proof(problem, solution)),
    };
    (outcome, evidence)
}

fn impossible(problem: &Problem<'_>) -> Option<Refutation> {
    Refuter::new(problem, Vec::new()).refute(Left::new(problem, &Region::whole(problem), &[]))
}

/// The proof of as many levels as possible.
fn proof(problem: &Problem<'_>, solution: &Solution) -> Proof {
    let whole = Region::whole(problem);
    let mut levels = Vec::new();
    let mut limits = Vec::new();
    for (place, criterion) in problem.criteria().iter().enumerate() {
        let Some(reached) = best(problem, solution, place) else {
            break;
        };
        let Some(score) = score(criterion, reached.choice.items()) else {
            break;
        };
        limits.push(score - 1);
        let reason = if matches!(Method::of(criterion), Method::Far) {
            None
        } else {
            Refuter::new(problem, limits.clone()).refute(Left::new(problem, &whole, &limits))
        };
        let Some(reason) = reason else {
            break;
        };
        let best = if criterion.sense == Sense::Least { score } else { -score };
        let witness = (best != solution.values[place]).then_some(reached.choice);
        levels.push(Level { best, witness, reason });
        limits[place] = score.saturating_add(criterion.slack.into());
    }
    Proof { levels }
}

/// A choice with the best value of a level: the answer, unless the level gave some slack.
fn best(problem: &Problem<'_>, solution: &Solution, place: usize) -> Option<Solution> {
    if problem.criteria()[place].slack == 0 {
        return Some(solution.clone());
    }
    solve(&problem.up_to(place)?).solution().cloned()
}
