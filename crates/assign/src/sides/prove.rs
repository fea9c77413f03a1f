//! Proofs of what was solved under side conditions, as the checker reads them.

mod apart;
mod price;
mod tree;

use super::chain::solve_sided;
use super::outcome::SidedOutcome;
use super::problem::SidedProblem;
use super::rules::{Limit, Part, Rules};
use crate::best::{Method, score};
use crate::outcome::Solution;
use crate::region::Region;
use pairwright_proof::{Held, Sense, SidedLevel, SidedProof, SidedStep};
use tree::{Named, Tree};

/// Solves a problem with side conditions as [`solve_sided`] does, and gives a proof that
/// [`check_sided_proof`](pairwright_proof::check_sided_proof) or, of a problem without a choice,
/// [`check_sided_impossible`](pairwright_proof::check_sided_impossible) accepts without solving.
///
/// A level is refuted by a tree: the windows of a limited spread are halved and slots are tried item by item until what the
/// checker finds out by itself, a competing set (Hall 1935), or prices (of one limited sum, or of two at once, Geoffrion
/// 1974) close every branch. The proof reaches from the first level to the last one it can prove, which for goals that want
/// values far out it cannot, and not where a tree has more steps, or takes more work, than a fixed number. It is made anew
/// from the answer alone, so that [`solve_sided`] takes no longer for it; the time is exponential in the number of slots
/// at worst, one matching and a few assignments a node. The last tie carries no proof.
///
/// `None` if nothing was proven.
///
/// ```
/// use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided_with_proof};
/// use pairwright_assign::{Criterion, Measure, Neighbour, Problem, Sense, Shape, Sides, Slot, Table};
/// use pairwright_proof::check_sided_proof;
///
/// let (slots, items) = ([0, 6, 1], [0, 2, 9]);
/// let table = Table::from_fn(Shape { slots: 3, items: 3 }, |slot, item| {
///     Some(slots[slot.index()] + items[item.index()])
/// })?;
/// let even = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
/// let neighbours = vec![Neighbour { one: Slot::new(1), other: Slot::new(2), table: &table, most: 2 }];
/// let sided = SidedProblem::new(Problem::new(vec![even], vec![])?, Sides { neighbours, ..Sides::default() })?;
///
/// let (SidedOutcome::Proven(best), Some(proof)) = solve_sided_with_proof(&sided) else { panic!("three slots") };
/// let statement = sided.problem().statement();
/// let checked = check_sided_proof(&statement, sided.sides(), &best.choice, &best.values, &proof)?;
/// assert_eq!((best.values, checked.levels), (vec![10], 1));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn solve_sided_with_proof(sided: &SidedProblem<'_>) -> (SidedOutcome, Option<SidedProof>) {
    let outcome = solve_sided(sided);
    let proof = match &outcome {
        SidedOutcome::Proven(solution) | SidedOutcome::BestFound { solution, .. } => levels(sided, solution),
        SidedOutcome::Impossible(_) => impossible(sided).map(SidedProof::Impossible),
        SidedOutcome::Undecided { .. } => None,
    };
    (outcome, proof)
}

fn impossible(sided: &SidedProblem<'_>) -> Option<Vec<SidedStep>> {
    let (rules, names, part) = start(sided);
    Tree::new(&rules, &names).refute(part)
}

/// The side conditions with their names, and everything that pairs allow.
fn start<'t>(sided: &SidedProblem<'t>) -> (Rules<'t>, Named, Part) {
    let mut names: Vec<Held> = (0..sided.problem().windows().len()).map(Held::Window).collect();
    // In the order in which the rules list them.
    for (at, total) in sided.sides().totals.iter().enumerate() {
        names.extend(total.most.map(|_| Held::Most(at)));
        names.extend(total.least.map(|_| Held::Least(at)));
    }
    let Region { grid, must, .. } = Part::whole(sided);
    (Rules::of(sided, |_| true), Named { names, aim: None }, Part { grid, must })
}

/// The proof of as many levels as possible; `None` if that is none.
fn levels(sided: &SidedProblem<'_>, solution: &Solution) -> Option<SidedProof> {
    let (mut rules, mut names, mut part) = start(sided);
    let mut levels = Vec::new();
    for (place, criterion) in sided.problem().criteria().iter().enumerate() {
        let Some((reached, least)) = reached(sided, solution, place) else { break };
        let to_beat = least.checked_sub(1).map(|most| Limit { criterion: *criterion, most });
        let Some(to_beat) = to_beat.filter(|_| !matches!(Method::of(criterion), Method::Far)) else { break };
        let mut against = (rules.clone(), names.clone(), part.clone());
        admit(&mut against, to_beat, place);
        against.1.aim = Some(Held::Level(place));
        let Some(steps) = Tree::new(&against.0, &against.1).refute(against.2) else { break };
        let best = if criterion.sense == Sense::Least { least } else { -least };
        let witness = (best != solution.values[place]).then_some(reached.choice);
        levels.push(SidedLevel { best, witness, steps });
        let most = least.saturating_add(criterion.slack.into());
        let mut within = (rules, names, part);
        admit(&mut within, Limit { criterion: *criterion, most }, place);
        (rules, names, part) = within;
    }
    (!levels.is_empty()).then_some(SidedProof::Levels(levels))
}

fn admit<'t>((rules, names, part): &mut (Rules<'t>, Named, Part), limit: Limit<'t>, place: usize) {
    let before = rules.limits.len();
    rules.admit(limit, part);
    if rules.limits.len() > before {
        names.names.push(Held::Level(place));
    }
}

/// A choice with the best score of a level: the answer, unless the level gave some slack.
fn reached(sided: &SidedProblem<'_>, solution: &Solution, place: usize) -> Option<(Solution, i128)> {
    let problem = sided.problem();
    let criterion = &problem.criteria()[place];
    let reached = if criterion.slack == 0 {
        solution.clone()
    } else {
        let shorter = SidedProblem::new(problem.up_to(place)?, sided.sides().clone()).ok()?;
        solve_sided(&shorter).solution().cloned()?
    };
    let least = score(criterion, reached.choice.items())?;
    Some((reached, least))
}
