//! The chain of criteria, one level after the other.
//!
//! What the criteria so far leave open is a list of nodes: regions given by pairs, some of them under a family
//! of windows still to be told apart. A level takes the best of its criterion over all nodes, lowest bound first: a
//! family
//! is divided only while its common bound is among the best. Then every region that can be within the slack is
//! narrowed.

use crate::best::{NOT_FOUND, narrow, over_region, score};
use crate::budget::Budget;
use crate::divide::{Leaf, explore, start};
use crate::effort::Effort;
use crate::first::{First, first};
use crate::matching::Matching;
use crate::outcome::{Bound, NothingFound, Outcome, Reason, Solution};
use crate::outermost;
use crate::pile;
use crate::problem::Problem;
use crate::region::{Node, Region};
use crate::shortage;
use crate::watch::Watch;
use pairwright_proof::{Choice, Criterion, Item, Measure, Sense, Window, evaluate};

/// Solves a problem.
///
/// **Exact**, and so [`Outcome::Proven`]:
/// - any chain without slack, of any measures in any order, any windows and changes, as long as every criterion is one
///   of spread, greatest, worst deviation, squares about the mean to be least, least value to be most, or a total or
///   squares
///   from a target in either sense;
/// - slack on spread, greatest, least and worst deviation, whatever follows;
/// - slack on one total or squares criterion, if only spread, greatest, least and worst deviation follow.
///
/// **By search** (branch and bound, at most [`Problem::with_effort`] partial plans), exact when it ends by itself and
/// [`Outcome::BestFound`] otherwise: a total or squares after another one with slack, several of those slacks at
/// once, and
/// criteria that want values far out (greatest spread, greatest value or deviation to be most, least value to be least,
/// squares about the mean to be most).
///
/// Deterministic: the same problem gives the same outcome everywhere.
///
/// Each level costs what its method costs, for n slots, m items and P pairs: a total O(n²·m) (shortest augmenting paths:
/// Kuhn 1955, Munkres 1957, Jonker & Volgenant 1987), a worst value a matching of O(n·P) for each of at most
/// 2·log₂(range) thresholds (Gross 1959; matchings by augmenting paths as in Hopcroft & Karp 1973, one path at a time), a
/// spread O(P·log P) and an augmenting path for each matched pair that leaves the window, O(P²) at worst (Martello,
/// Pulleyblank, Toth & de Werra 1984; short of items: Hall 1935), squares about the mean a total for each corner of a
/// parametric assignment (Eisner & Severance 1976).
/// [`solve_within`] takes a budget as well.
///
/// # Examples
/// ```
/// use pairwright_assign::{Criterion, Item, Measure, Outcome, Problem, Sense, Shape, Slot, Table, solve};
///
/// let table = Table::from_cells(Shape { slots: 2, items: 2 }, &[Some(3), Some(1), Some(2), Some(3)])?;
/// let even = Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
/// let problem = Problem::new(vec![even], vec![])?;
///
/// let Outcome::Proven(solution) = solve(&problem) else { panic!("spread alone is exact") };
/// assert_eq!(solution.choice.items(), [Item::new(0), Item::new(1)]);
/// assert_eq!(solution.values, [0]);
///
/// let Outcome::Proven(without) = solve(&problem.forbid(Slot::new(0), Item::new(0))?) else { panic!() };
/// assert_eq!(without.values, [1]);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[expect(clippy::missing_panics_doc, reason = "a budget without limits does not end")]
pub fn solve(problem: &Problem<'_>) -> Outcome {
    solve_within(problem, &Budget::default()).expect("a budget without limits does not end")
}

/// Solves a problem as [`solve`] does, but ends early when the budget ends.
///
/// Then the outcome is [`Outcome::BestFound`] with the best choice met and a bound that holds: that of the search, or
/// what the slots' values by themselves say. A whole table is always read and one matching made, whatever the budget:
/// so where there are no windows a choice is always found. The flag and the clock are asked between augmenting paths and
/// steps of a sweep; the progress is told level by level.
///
/// # Errors
/// [`NothingFound`] if the budget ended before any choice was met that keeps the windows, and before it was known that
/// there is none.
///
/// # Examples
/// ```
/// use pairwright_assign::{
///     Bound, Budget, Criterion, Measure, Outcome, Problem, Reason, Sense, Shape, Stop, Table, solve_within,
/// };
///
/// let table = Table::from_cells(Shape { slots: 2, items: 2 }, &[Some(3), Some(1), Some(2), Some(4)])?;
/// let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
/// let problem = Problem::new(vec![total], vec![])?;
///
/// assert!(matches!(solve_within(&problem, &Budget::default())?, Outcome::Proven(_)));
/// let Outcome::BestFound { bound, reason, .. } = solve_within(&problem, &Budget::nodes(0))? else { panic!() };
/// // 1 and 2 are the least of the slots.
/// assert_eq!((bound, reason), (Bound { criterion: 0, value: 3 }, Reason::Stopped(Stop::Nodes)));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn solve_within(problem: &Problem<'_>, budget: &Budget<'_>) -> Result<Outcome, NothingFound> {
    let watch = Watch::over(budget);
    if watch.spend()
        && let Some(found) = pile::solve(problem, &watch)
    {
        return found;
    }
    plain(problem, &watch)
}

/// Solves a problem with all its items.
pub(crate) fn plain(problem: &Problem<'_>, watch: &Watch<'_>) -> Result<Outcome, NothingFound> {
    let whole = || Region::whole(problem);
    // Where the budget may end, that much is always known; elsewhere every method finds it out by itself.
    if watch.is_limited()
        && let Some(shortage) = shortage::of_pairs(&whole())
    {
        return Ok(Outcome::Impossible(shortage));
    }
    let effort = Effort::new(problem.effort(), watch);
    let mut chain = Chain { met: Vec::new(), open: None };
    let mut found = None;
    if watch.goes_on() {
        found = start(problem, whole(), watch).and_then(|node| chain.run(problem, node, &effort));
    }
    let Some(stop) = watch.stopped() else {
        let Some(choice) = found else {
            let whole = whole();
            let shortage = shortage::of_pairs(&whole).unwrap_or_else(|| shortage::of_windows(problem, &whole));
            return Ok(Outcome::Impossible(shortage));
        };
        let solution = valued(problem, choice);
        return Ok(match chain.open {
            None => Outcome::Proven(solution),
            Some(bound) => Outcome::BestFound { solution, bound, reason: Reason::EffortSpent },
        });
    };
    let bound = chain.open.unwrap_or_else(|| outer_bound(problem, &whole()));
    match found.filter(|choice| !choice.is_empty()).or_else(|| any(problem, &whole())) {
        Some(choice) => {
            Ok(Outcome::BestFound { solution: valued(problem, choice), bound, reason: Reason::Stopped(stop) })
        }
        None => Err(NothingFound { bound, stop }),
    }
}

/// The best choice of a region by a problem's criteria, whatever else the problem says; `None` if there is none, or none that is
/// proven.
pub(crate) fn best_of_region<'t>(problem: &Problem<'t>, region: Region<'t>) -> Option<Vec<Item>> {
    let watch = Watch::unlimited();
    let effort = Effort::new(problem.effort(), &watch);
    let mut chain = Chain { met: Vec::new(), open: None };
    let found = chain.run(problem, Node { region, families: Vec::new() }, &effort)?;
    chain.open.is_none().then_some(found)
}

/// What is known of the first criterion before anything was solved.
fn outer_bound(problem: &Problem<'_>, whole: &Region<'_>) -> Bound {
    let value = problem.criteria().first().map_or(0, |first| turned(first, outermost::bound(first, &whole.grid)));
    Bound { criterion: 0, value }
}

/// A choice by one matching, if it happens to keep the windows.
fn any(problem: &Problem<'_>, whole: &Region<'_>) -> Option<Vec<Item>> {
    let mut matching = Matching::empty(&whole.grid);
    matching.complete(&whole.grid, &whole.must).ok()?;
    let choice = matching.choice();
    let keeps = |window: &Window<'_>| {
        let spread = Criterion { table: window.table, measure: Measure::Spread, sense: Sense::Least, slack: 0 };
        score(&spread, &choice).is_some_and(|spread| spread <= window.width.into())
    };
    problem.windows().iter().all(keeps).then_some(choice)
}

/// The value of a score.
fn turned(criterion: &Criterion<'_>, score: i128) -> i128 {
    if criterion.sense == Sense::Least { score } else { -score }
}

/// A choice of allowed pairs with its values.
pub(crate) fn valued(problem: &Problem<'_>, choice: Vec<Item>) -> Solution {
    let choice = Choice::new(choice);
    let value = |criterion: &Criterion<'_>| {
        evaluate(criterion.measure, criterion.table, &choice)
            .expect("the choice is made of allowed pairs, and tables and targets are bounded")
    };
    let values = problem.criteria().iter().map(value).collect();
    Solution { choice, values }
}

struct Chain {
    /// The best choice met so far that is within all limits up to here.
    met: Vec<Item>,
    /// The first criterion that is not proven.
    open: Option<Bound>,
}

impl Chain {
    /// The best choice; `None` if there is none.
    fn run<'t>(&mut self, problem: &Problem<'t>, node: Node<'t>, effort: &Effort<'_>) -> Option<Vec<Item>> {
        let mut nodes = vec![node];
        for (level, criterion) in problem.criteria().iter().enumerate() {
            nodes = self.level(level, criterion, nodes, effort)?;
            if nodes.is_empty() {
                return Some(std::mem::take(&mut self.met));
            }
        }
        let mut certain = true;
        let watch = effort.watch();
        let mut relax = |region: &Region<'t>| {
            if !watch.goes_on() {
                certain = false;
                return None;
            }
            let First { choice, certain: sure } = first(region, effort);
            certain &= sure;
            Some((choice?, ()))
        };
        let leaf = explore(nodes, &mut relax, |_, leaves| !leaves.is_empty()).pop();
        if !certain {
            self.leave_open(Bound { criterion: problem.criteria().len(), value: 0 });
        }
        match leaf {
            Some((choice, _)) => Some(choice),
            None if self.open.is_some() => Some(std::mem::take(&mut self.met)),
            None => None,
        }
    }

    /// The nodes that a criterion leaves; none of them if a search was cut short before it met a choice; `None` if
    /// there is no choice at all.
    fn level<'t>(
        &mut self,
        level: usize,
        criterion: &Criterion<'t>,
        nodes: Vec<Node<'t>>,
        effort: &Effort<'_>,
    ) -> Option<Vec<Node<'t>>> {
        let slack = i128::from(criterion.slack);
        let watch = effort.watch();
        let outer = |nodes: &[Node<'t>]| {
            nodes.iter().map(|node| outermost::bound(criterion, &node.region.grid)).min().unwrap_or(0)
        };
        // Only where the budget can end is it worth a pass over the pairs.
        let outside = watch.is_limited().then(|| outer(&nodes));
        let mut relax = |region: &Region<'t>| {
            if !watch.spend() {
                return None;
            }
            let best = over_region(criterion, region, effort)?;
            Some((best.bound, best))
        };
        let reached = |leaves: &[(i128, Leaf<'t, _>)]| {
            leaves.iter().map(|(_, leaf): &(_, Leaf<'t, crate::best::Best>)| leaf.found.score).min()
        };
        let leaves = explore(nodes, &mut relax, |&bound, leaves| {
            watch.stopped().is_some() || reached(leaves).is_some_and(|score| bound > score.saturating_add(slack))
        });
        if let Some(outside) = outside.filter(|_| watch.stopped().is_some()) {
            self.end_early(level, criterion, outside, leaves);
            return Some(Vec::new());
        }
        let score = reached(&leaves)?;
        let bound = leaves.iter().map(|&(bound, _)| bound).min()?;
        let limit = score.saturating_add(slack);
        let cut_short = |leaf: &Leaf<'t, crate::best::Best>| leaf.found.score > limit;
        if bound < score || leaves.iter().any(|(_, leaf)| cut_short(leaf)) {
            self.leave_open(Bound { criterion: level, value: turned(criterion, bound) });
        }
        if score == NOT_FOUND {
            return Some(Vec::new());
        }
        watch.tell(level, Some(turned(criterion, score)), turned(criterion, bound));
        let within = leaves.into_iter().filter(|(_, leaf)| !cut_short(leaf));
        let mut nodes = Vec::new();
        for (_, leaf) in within {
            if leaf.found.score == score {
                self.met.clone_from(&leaf.found.choice);
            }
            nodes.extend(narrow(criterion, leaf.region, &leaf.found, limit));
        }
        Some(nodes)
    }

    /// Keeps the best choice met at a level that the budget ended, and what is known of the others.
    fn end_early(
        &mut self,
        level: usize,
        criterion: &Criterion<'_>,
        outside: i128,
        leaves: Vec<(i128, Leaf<'_, crate::best::Best>)>,
    ) {
        let met = score(criterion, &self.met).filter(|_| !self.met.is_empty()).unwrap_or(NOT_FOUND);
        let best = leaves.into_iter().map(|(_, leaf)| leaf.found).min_by_key(|found| found.score);
        if let Some(best) = best.filter(|best| best.score < met) {
            self.met = best.choice;
        }
        self.leave_open(Bound { criterion: level, value: turned(criterion, outside) });
    }

    fn leave_open(&mut self, bound: Bound) {
        self.open.get_or_insert(bound);
    }
}
