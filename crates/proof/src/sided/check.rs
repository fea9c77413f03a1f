//! Whether a proof under side conditions holds.

use super::limits::Limit;
use super::settle::Conditions;
use super::walk::Broken;
use super::{SidedLevel, SidedProof, SidedStep};
use crate::sides::Sides;
use crate::verify::{Checked, Flaw, Region, beyond, score};
use crate::{Choice, Criterion, Fault, Statement, check_sided, evaluate};

/// Whether a choice keeps every rule and every side condition, is worth the `values`, and is as good as the proof says.
///
/// Solves nothing. A node of a tree costs a few rounds of O(pairs · log pairs) for each condition; how many rounds there
/// are is at most the number of pairs that they take away.
///
/// # Errors
/// The first [`Fault`] found: those of [`check_sided`], then, level by level, [`Fault::Step`] or [`Fault::Best`].
pub fn check_sided_proof(
    statement: &Statement<'_>,
    sides: &Sides<'_>,
    choice: &Choice,
    values: &[i128],
    proof: &SidedProof,
) -> Result<Checked, Fault> {
    check_sided(statement, sides, choice, values)?;
    let of = statement.criteria.len();
    let SidedProof::Levels(levels) = proof else {
        return Err(Fault::Impossible { flaw: Flaw::Kind });
    };
    if levels.len() > of {
        return Err(Fault::Levels { expected: of, found: levels.len() });
    }
    let mut limits = Vec::new();
    for (place, (level, criterion)) in levels.iter().zip(statement.criteria).enumerate() {
        let best = score(criterion.sense, level.best);
        limits.push(best.checked_sub(1).ok_or(Fault::Overflow)?);
        refute(statement, sides, &limits, &level.steps).map_err(|Broken { step, flaw }| Fault::Step {
            level: place,
            step,
            flaw,
        })?;
        let limit = best.checked_add(i128::from(criterion.slack)).ok_or(Fault::Overflow)?;
        limits[place] = limit;
        if score(criterion.sense, values[place]) > limit {
            return Err(Fault::Best { level: place, best: level.best });
        }
        check_reached(statement, sides, &limits, level, values[place])?;
    }
    Ok(Checked { levels: levels.len(), of })
}

/// Whether no choice at all keeps every rule and every side condition, the criteria aside.
///
/// # Errors
/// [`Fault::NoSlot`] if a condition names a slot that is not there; [`Fault::Impossible`] with the first flaw found.
pub fn check_sided_impossible(statement: &Statement<'_>, sides: &Sides<'_>, proof: &SidedProof) -> Result<(), Fault> {
    let SidedProof::Impossible(steps) = proof else {
        return Err(Fault::Impossible { flaw: Flaw::Kind });
    };
    let slots = Region::whole(statement).rows.len();
    let mut named = sides.neighbours.iter().flat_map(|neighbour| [neighbour.one, neighbour.other]);
    if let Some(slot) = named.find(|slot| slot.index() >= slots) {
        return Err(Fault::NoSlot { slot });
    }
    refute(statement, sides, &[], steps).map_err(|Broken { flaw, .. }| Fault::Impossible { flaw })
}

/// Follows a tree over the choices within a limit for each of the first levels.
fn refute(statement: &Statement<'_>, sides: &Sides<'_>, limits: &[i128], steps: &[SidedStep]) -> Result<(), Broken> {
    let mut whole = Region::whole(statement);
    for table in sides.tables() {
        whole.retain(|slot, item| table.get(slot, item).is_some());
    }
    let mut held = Limit::of_sides(statement, sides);
    for (place, (criterion, &limit)) in statement.criteria.iter().zip(limits).enumerate() {
        whole.retain(|slot, item| !beyond(criterion, criterion.table.row(slot)[item.index()], limit));
        held.extend(Limit::of_level(place, criterion, limit));
    }
    Conditions { limits: held, sides }.walk(whole, steps)
}

/// Some choice must have the best value that a level claims: the answer itself, or a witness.
fn check_reached(
    statement: &Statement<'_>,
    sides: &Sides<'_>,
    limits: &[i128],
    level: &SidedLevel,
    value: i128,
) -> Result<(), Fault> {
    if level.best == value {
        return Ok(());
    }
    let place = limits.len() - 1;
    let missing = Fault::Best { level: place, best: level.best };
    let witness = level.witness.as_ref().ok_or_else(|| missing.clone())?;
    let worth = |criterion: &Criterion<'_>| evaluate(criterion.measure, criterion.table, witness);
    let values = statement.criteria.iter().map(worth).collect::<Result<Vec<_>, _>>()?;
    check_sided(statement, sides, witness, &values)?;
    let within = statement.criteria.iter().zip(&values).zip(limits);
    let is_within = within.take(place).all(|((criterion, &value), &limit)| score(criterion.sense, value) <= limit);
    if is_within && values[place] == level.best { Ok(()) } else { Err(missing) }
}
