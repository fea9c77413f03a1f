//! What to carry where, as chains of moves.

use super::{RoleSteps, Scene, Step};
use crate::job::{Scope, Stock};
use crate::plan::Question;

/// Chains of moves from how the parts stand, once the matches before this one are carried out, to the plan: each step frees the place that the
/// next part leaves, up to the shelf or back to where the chain began. Empty where the stock does
/// not say where any part stands.
pub(super) fn steps(scene: &Scene<'_, '_>) -> Vec<Vec<Step>> {
    if !scene.question().knows_where_parts_stand() {
        return Vec::new();
    }
    let stands = standing(scene.question(), scene.frame().stock());
    let positions = scene.chosen.parts.len();
    let goes = (0..positions).flat_map(|at| scene.parts_at(at).into_iter().map(move |part| (at, part)));
    chains(&stands, positions, &goes.collect::<Vec<_>>())
}

/// The same of every role but the one that varies; a gasket for the whole engine is a type, and is fetched.
pub(super) fn of_other_roles(scene: &Scene<'_, '_>) -> Vec<RoleSteps> {
    let question = scene.question();
    let first = question.first_role();
    let mut all = Vec::new();
    for (role, asked) in question.matching.place.iter().enumerate().filter(|&(role, _)| role != first) {
        if question.beside().contains(&role) {
            continue;
        }
        let Some(stock) = question.job.stock(&asked.kind) else { continue };
        let scope = question.matching.scope(&asked.kind);
        let stands: Vec<Option<usize>> = match scope {
            Scope::Position => standing(question, stock),
            Scope::Bank | Scope::Engine => stock.parts.iter().map(|part| part.at).collect(),
        };
        let goes: Vec<usize> = match scope {
            Scope::Position => {
                let mut goes = vec![0; question.positions.len()];
                for placement in &scene.plan.placements {
                    goes[placement.position] = placement.parts[role];
                }
                goes
            }
            Scope::Bank => scene.plan.setting.of_role(role).map(|served| served.part).collect(),
            Scope::Engine => continue,
        };
        // Of a type any number may lie about: no piece of it is the one that stands somewhere.
        let is_known =
            stands.iter().any(Option::is_some) && !goes.iter().enumerate().any(|(at, part)| goes[..at].contains(part));
        let goes: Vec<(usize, usize)> = goes.into_iter().enumerate().collect();
        let steps = if is_known { chains(&stands, goes.len(), &goes) } else { Vec::new() };
        if !steps.is_empty() {
            all.push(RoleSteps { role, steps });
        }
    }
    all
}

/// Where every part of a stock stands once the matches before this one are carried out; beyond the positions that this
/// one serves where it stands in another.
fn standing(question: &Question<'_>, stock: &Stock) -> Vec<Option<usize>> {
    let within = |at: Option<usize>| at.map(|at| question.positions.within(at));
    question.earlier.standing_after(stock).into_iter().map(within).collect()
}

/// `stands[part]` is the position where a part stands; `goes` are the positions with the parts that go there, of which a
/// position may take several.
fn chains(stands: &[Option<usize>], positions: usize, goes: &[(usize, usize)]) -> Vec<Vec<Step>> {
    // A part that stands beyond the places to be filled stays there unless it is wanted.
    let mut target: Vec<Option<usize>> = stands.iter().map(|at| at.filter(|&at| at >= positions)).collect();
    for &(position, part) in goes {
        target[part] = Some(position);
    }
    let moves = |part: usize| stands[part] != target[part];
    let mut done = vec![false; stands.len()];
    let mut chains = Vec::new();
    // Parts that come from the shelf, or from beyond the places to be filled, open a chain; what is left are cycles and
    // parts that only leave.
    let comes_in = |&part: &usize| stands[part].is_none_or(|at| at >= goes.len());
    let incoming = (0..stands.len()).filter(comes_in);
    let standing = (0..stands.len()).filter(|part| !comes_in(part));
    for first in incoming.chain(standing) {
        let mut chain = Vec::new();
        let mut next = Some(first);
        while let Some(part) = next.filter(|&part| moves(part) && !done[part]) {
            done[part] = true;
            chain.push(Step { part, from: stands[part], to: target[part] });
            next = target[part].and_then(|position| {
                (0..stands.len()).find(|&part| stands[part] == Some(position) && moves(part) && !done[part])
            });
        }
        if !chain.is_empty() {
            chains.push(chain);
        }
    }
    chains
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_spare_pushes_a_chain_and_two_parts_change_places() {
        // Parts 0..4 stand at 0..4, part 4 on the shelf; the plan: 4 to 0, 0 to 1, 1 to the shelf, 2 and 3 swap.
        let stands = [Some(0), Some(1), Some(2), Some(3), None];
        let chains = chains(&stands, 4, &[(0, 4), (1, 0), (2, 3), (3, 2)]);
        let step = |part, from, to| Step { part, from, to };
        assert_eq!(
            chains,
            vec![
                vec![step(4, None, Some(0)), step(0, Some(0), Some(1)), step(1, Some(1), None)],
                vec![step(2, Some(2), Some(3)), step(3, Some(3), Some(2))],
            ]
        );
    }

    #[test]
    fn a_part_that_stays_is_no_step() {
        assert!(chains(&[Some(0), Some(1), None], 2, &[(0, 0), (1, 1)]).is_empty());
    }

    #[test]
    fn a_position_may_take_several_parts() {
        // Parts 0 and 1 stand at 0, 2 and 3 at 1, 4 on the shelf; 1 and 2 change places, 4 comes for 3.
        let stands = [Some(0), Some(0), Some(1), Some(1), None];
        let chains = chains(&stands, 2, &[(0, 0), (0, 2), (1, 1), (1, 4)]);
        let step = |part, from, to| Step { part, from, to };
        assert_eq!(
            chains,
            vec![vec![
                step(4, None, Some(1)),
                step(2, Some(1), Some(0)),
                step(1, Some(0), Some(1)),
                step(3, Some(1), None)
            ],]
        );
    }
}
