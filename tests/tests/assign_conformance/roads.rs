//! Every road to the best choice by one criterion.

use pairwright_assign::program::{ProgramOutcome, Said, solve_program};
use pairwright_assign::several::{SeveralOutcome, SeveralProblem, solve_several};
use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided};
use pairwright_assign::{
    Budget, Choice, Evidence, Item, JointAim, JointChoice, JointOutcome, JointProblem, JointStatement, Measure,
    Outcome, Outer, Pile, Problem, Roles, Scale, Sense, Sides, Solution, Table, TotalLimit, Worth, best_within_moves,
    ranked, solve, solve_joint, solve_with_proof, solve_within,
};
use pairwright_proof::{check_impossible, check_proof, check_several_impossible, check_several_proof};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Road {
    Plain,
    Within,
    Proof,
    Ranking,
    Sides,
    Moves,
    Several,
    Joint,
    Model,
}

/// What a road leads to.
pub(crate) struct Found {
    pub(crate) value: i128,
    pub(crate) items: Vec<Item>,
}

/// Whether a road takes a goal.
pub(crate) fn takes(road: Road, measure: Measure, sense: Sense) -> bool {
    match road {
        Road::Several => match measure {
            Measure::Total => true,
            Measure::Least => sense == Sense::Most,
            _ => sense == Sense::Least,
        },
        Road::Joint => sense == Sense::Least && aim(measure).is_some(),
        Road::Model => measure != Measure::SquaresAboutMean,
        _ => true,
    }
}

fn aim(measure: Measure) -> Option<JointAim> {
    match measure {
        Measure::Spread => Some(JointAim::Spread),
        Measure::SquaresAboutMean => Some(JointAim::SquaresAboutMean),
        Measure::WorstFrom { target } => Some(JointAim::WorstFrom { target }),
        Measure::SquaresFrom { target } => Some(JointAim::SquaresFrom { target }),
        Measure::Total => Some(JointAim::Total),
        _ => None,
    }
}

impl Road {
    /// All but the slow one.
    pub(crate) const QUICK: [Self; 8] =
        [Self::Plain, Self::Within, Self::Proof, Self::Ranking, Self::Sides, Self::Moves, Self::Several, Self::Joint];

    /// Whether the last tie goes to the first choice in order. That of joint choices goes by squares first.
    pub(crate) fn settles_ties(self) -> bool {
        !matches!(self, Self::Joint | Self::Model)
    }

    /// The best choice by the first criterion; `None` if there is no choice.
    pub(crate) fn best(self, problem: &Problem<'_>, start: Option<&Choice>) -> Option<Found> {
        match self {
            Self::Plain => proven(solve(problem)),
            Self::Within => {
                let far = Budget { expired: Some(&|| false), ..Budget::nodes(1 << 40) };
                proven(solve_within(problem, &far).expect("a budget that does not end"))
            }
            Self::Proof => with_proof(problem),
            Self::Ranking => ranked(problem).expect("no slack, an exact goal").next().map(|best| found(&best)),
            Self::Sides => sided(problem),
            Self::Moves => {
                let standing = start.cloned().unwrap_or_else(|| Choice::new(vec![Item::new(0); problem.shape().slots]));
                let moves = problem.shape().slots;
                decided(best_within_moves(problem, &standing, moves, &Budget::default()).expect("a choice"))
            }
            Self::Several => several(problem),
            Self::Joint => joint(problem, start),
            Self::Model => modelled(problem),
        }
    }
}

fn found(solution: &Solution) -> Found {
    Found { value: solution.values[0], items: solution.choice.items().to_vec() }
}

fn proven(outcome: Outcome) -> Option<Found> {
    match outcome {
        Outcome::Proven(solution) => Some(found(&solution)),
        Outcome::Impossible(_) => None,
        open @ Outcome::BestFound { .. } => panic!("one criterion is exact: {open:?}"),
    }
}

fn with_proof(problem: &Problem<'_>) -> Option<Found> {
    match solve_with_proof(problem) {
        (Outcome::Proven(best), Evidence::Proof(proof)) => {
            let checked = check_proof(&problem.statement(), &best.choice, &best.values, &proof).unwrap();
            assert_eq!(checked.levels, 1);
            Some(found(&best))
        }
        (Outcome::Impossible(_), Evidence::Impossible(refutation)) => {
            check_impossible(&problem.statement(), &refutation).unwrap();
            None
        }
        other => panic!("one criterion has a proof: {other:?}"),
    }
}

fn decided(outcome: SidedOutcome) -> Option<Found> {
    match outcome {
        SidedOutcome::Proven(solution) => Some(found(&solution)),
        SidedOutcome::Impossible(_) => None,
        open => panic!("a few slots are soon searched: {open:?}"),
    }
}

/// With a limit on a total that everything keeps.
fn sided(problem: &Problem<'_>) -> Option<Found> {
    let count = Table::from_fn(problem.shape(), |_, _| Some(1)).unwrap();
    let most = i128::try_from(problem.shape().slots).ok();
    let totals = vec![TotalLimit { table: &count, least: most, most }];
    let sided = SidedProblem::new(problem.clone(), Sides { totals, ..Sides::default() }).unwrap();
    decided(solve_sided(&sided))
}

/// Slots that take one item each.
fn several(problem: &Problem<'_>) -> Option<Found> {
    let criterion = problem.criteria()[0];
    let (slots, items) = (problem.shape().slots, problem.shape().items);
    let pile = Pile { slots, items, each: 1, roles: Roles::Alike };
    let base = vec![0; slots];
    let worth = Worth::Sum { base: &base, table: criterion.table };
    let several = SeveralProblem::new(pile, &worth, criterion.measure, criterion.sense).unwrap();
    match solve_several(&several) {
        SeveralOutcome::Proven { arrangement: best, proof, .. } => {
            let asked = (criterion.measure, criterion.sense);
            assert_eq!(check_several_proof(pile, &worth, asked, &best.bundles, best.value, &proof), Ok(()));
            Some(Found { value: best.value, items: best.bundles.0.into_iter().flatten().collect() })
        }
        SeveralOutcome::Impossible { proof, .. } => {
            assert_eq!(check_several_impossible(pile, &worth, &proof), Ok(()));
            None
        }
        open => panic!("a few slots are soon searched: {open:?}"),
    }
}

/// With a second kind of items that adds nothing, as many as there are slots.
fn joint(problem: &Problem<'_>, start: Option<&Choice>) -> Option<Found> {
    let criterion = problem.criteria()[0];
    let slots = problem.shape().slots;
    let nothing = Table::from_fn(pairwright_assign::Shape { slots, items: slots }, |_, _| Some(0)).unwrap();
    let offsets = [vec![0; slots]];
    let statement = JointStatement {
        first: criterion.table,
        second: &nothing,
        barred: &[],
        offsets: &offsets,
        scale: Scale::Sum,
        beside: None,
    };
    let mut joint = JointProblem::new(statement, aim(criterion.measure).unwrap()).unwrap();
    if let Some(start) = start {
        let second = Choice::new((0..u32::try_from(slots).unwrap()).map(Item::new).collect());
        joint = joint.start_from(JointChoice { outer: Outer::new(0), first: start.clone(), second }).unwrap();
    }
    match solve_joint(&joint, &Budget::default()).unwrap() {
        JointOutcome::Proven(best) => Some(Found { value: best.value, items: best.choice.first.items().to_vec() }),
        JointOutcome::Impossible(_) => None,
        open => panic!("no budget can end: {open:?}"),
    }
}

/// The backend's choice, worth what it is worth in ticks.
fn modelled(problem: &Problem<'_>) -> Option<Found> {
    let sided = SidedProblem::new(problem.clone(), Sides::default()).unwrap();
    match solve_program(&sided, 0, None).unwrap() {
        ProgramOutcome::BestFound { solution, said, .. } => {
            assert!(matches!(said, Said::Optimal | Said::Infeasible), "{said:?}");
            Some(found(&solution))
        }
        ProgramOutcome::Impossible(_) => None,
        ProgramOutcome::Undecided { said } => panic!("{said:?}"),
    }
}
