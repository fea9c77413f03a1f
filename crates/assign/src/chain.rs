//! The chain of criteria, one level after the other.
//!
//! What the criteria so far leave open is a list of nodes: regions given by pairs, some of them under a family
//! of windows still to be told apart. A level takes the best of its criterion over all nodes, lowest bound first: a
//! family
//! is divided only while its common bound is among the best. Then every region that can be within the slack is
//! narrowed.

use crate::best::{NOT_FOUND, narrow, over_region, window_starts};
use crate::first::{First, first};
use crate::outcome::{Bound, Outcome, Reason, Solution};
use crate::pile;
use crate::problem::Problem;
use crate::region::{Family, Node, Region};
use crate::search::Effort;
use crate::shortage;
use pairwright_proof::{Choice, Criterion, Item, Sense, evaluate};
use std::collections::BTreeMap;

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
pub fn solve(problem: &Problem<'_>) -> Outcome {
    pile::solve(problem).unwrap_or_else(|| plain(problem))
}

/// Solves a problem with all its items.
pub(crate) fn plain(problem: &Problem<'_>) -> Outcome {
    let whole = Region::whole(problem);
    if let Some(shortage) = shortage::of_pairs(&whole) {
        return Outcome::Impossible(shortage);
    }
    let mut effort = Effort::new(problem.effort());
    let mut chain = Chain { met: Vec::new(), open: None };
    let found = start(problem, whole.clone()).and_then(|node| chain.run(problem, node, &mut effort));
    let Some(choice) = found else {
        return Outcome::Impossible(shortage::of_windows(problem, &whole));
    };
    let solution = valued(problem, choice);
    match chain.open {
        None => Outcome::Proven(solution),
        Some(bound) => Outcome::BestFound { solution, bound, reason: Reason::EffortSpent },
    }
}

/// The whole region under the problem's windows; `None` if some window alone cannot be held.
fn start<'t>(problem: &Problem<'t>, mut region: Region<'t>) -> Option<Node<'t>> {
    let mut families = Vec::new();
    for window in problem.windows() {
        let (table, width) = (window.table, window.width);
        let family = Family { table, width, starts: window_starts(&region, table, width) };
        if family.starts.is_empty() {
            return None;
        }
        family.cut(&mut region.grid);
        families.push(family);
    }
    Some(Node { region, families })
}

fn valued(problem: &Problem<'_>, choice: Vec<Item>) -> Solution {
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

/// A region that cannot be divided further, with what a level found in it.
struct Leaf<'t, B> {
    region: Region<'t>,
    found: B,
}

impl Chain {
    /// The best choice; `None` if there is none.
    fn run<'t>(&mut self, problem: &Problem<'t>, node: Node<'t>, effort: &mut Effort) -> Option<Vec<Item>> {
        let mut nodes = vec![node];
        for (level, criterion) in problem.criteria().iter().enumerate() {
            nodes = self.level(level, criterion, nodes, effort)?;
            if nodes.is_empty() {
                return Some(std::mem::take(&mut self.met));
            }
        }
        let mut certain = true;
        let mut relax = |region: &Region<'t>| {
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
        effort: &mut Effort,
    ) -> Option<Vec<Node<'t>>> {
        let slack = i128::from(criterion.slack);
        let mut relax = |region: &Region<'t>| {
            let best = over_region(criterion, region, effort)?;
            Some((best.bound, best))
        };
        let reached = |leaves: &[(i128, Leaf<'t, _>)]| {
            leaves.iter().map(|(_, leaf): &(_, Leaf<'t, crate::best::Best>)| leaf.found.score).min()
        };
        let leaves = explore(nodes, &mut relax, |&bound, leaves| {
            reached(leaves).is_some_and(|score| bound > score.saturating_add(slack))
        });
        let score = reached(&leaves)?;
        let bound = leaves.iter().map(|&(bound, _)| bound).min()?;
        let limit = score.saturating_add(slack);
        let cut_short = |leaf: &Leaf<'t, crate::best::Best>| leaf.found.score > limit;
        if bound < score || leaves.iter().any(|(_, leaf)| cut_short(leaf)) {
            let value = if criterion.sense == Sense::Least { bound } else { -bound };
            self.leave_open(Bound { criterion: level, value });
        }
        if score == NOT_FOUND {
            return Some(Vec::new());
        }
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

    fn leave_open(&mut self, bound: Bound) {
        self.open.get_or_insert(bound);
    }
}

/// Looks at nodes in order of their keys, lowest first, and divides them; gives the undivided regions met, with their
/// keys, until `enough` says that a key is of no more use.
fn explore<'t, K: Ord, B>(
    nodes: Vec<Node<'t>>,
    relax: &mut impl FnMut(&Region<'t>) -> Option<(K, B)>,
    enough: impl Fn(&K, &[(K, Leaf<'t, B>)]) -> bool,
) -> Vec<(K, Leaf<'t, B>)> {
    let mut open = BTreeMap::new();
    let mut order = 0_u64;
    let mut leaves = Vec::new();
    let mut add = |open: &mut BTreeMap<_, _>, node: Node<'t>| {
        if let Some((key, found)) = relax(&node.region) {
            order += 1;
            open.insert((key, order), (node, found));
        }
    };
    for node in nodes {
        add(&mut open, node);
    }
    while let Some(((key, _), (node, found))) = open.pop_first() {
        if enough(&key, &leaves) {
            break;
        }
        match node.split() {
            Some(halves) => {
                for half in halves {
                    add(&mut open, half);
                }
            }
            None => leaves.push((key, Leaf { region: node.region, found })),
        }
    }
    leaves
}
