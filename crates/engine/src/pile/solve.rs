//! The best that can be made of given parts.

use pairwright_assign::{Criterion, Measure, Outcome, Problem, Sense, Shape, Slot, Table, solve};
use pairwright_proof::check_choice;

use super::{OneNumber, PileError, Sought};
use crate::readings::PositionId;

/// The best value of what is sought, in ticks, with these parts to choose from, each used once; `None` where they do not fill
/// the positions.
///
/// Solved exactly and checked; a total to which parts add the same everywhere takes the largest, or the smallest, parts.
pub(super) fn best<F: OneNumber>(fit: &F, parts: &[f64], sought: Sought) -> Result<Option<f64>, PileError> {
    match fit.factor().filter(|_| sought.measure() == Measure::Total) {
        Some(factor) => Ok(total(fit, parts, factor, sought)),
        None => by_choice(fit, parts, sought),
    }
}

/// By choosing anew from a table of all parts.
pub(super) fn by_choice<F: OneNumber>(fit: &F, parts: &[f64], sought: Sought) -> Result<Option<f64>, PileError> {
    let shape = Shape { slots: fit.positions(), items: parts.len() };
    let table = Table::from_fn(shape, |slot, item| whole(fit.value(position(slot), parts[item.index()])?))?;
    let criterion = Criterion { table: &table, measure: sought.measure(), sense: sought.sense(), slack: 0 };
    let problem = Problem::new(vec![criterion], Vec::new())?;
    match solve(&problem) {
        Outcome::Proven(solution) => {
            check_choice(&problem.statement(), &solution.choice, &solution.values)?;
            Ok(solution.values.first().map(|&value| sought.in_ticks(value, shape.slots)))
        }
        Outcome::Impossible(_) => Ok(None),
        // One criterion without windows is always exact.
        Outcome::BestFound { .. } => Err(PileError::Open),
    }
}

fn total<F: OneNumber>(fit: &F, parts: &[f64], factor: f64, sought: Sought) -> Option<f64> {
    let kept = kept(parts, fit.positions(), factor, sought)?;
    Some(turned(base(fit), sought) + kept.iter().sum::<f64>()).map(|best| turned(best, sought))
}

/// What the parts that a total keeps add to it, turned so that more is better; `None` if there are too few parts.
pub(super) fn kept(parts: &[f64], positions: usize, factor: f64, sought: Sought) -> Option<Vec<f64>> {
    let mut worth: Vec<f64> = parts.iter().map(|part| turned(factor * part, sought)).collect();
    if worth.len() < positions {
        return None;
    }
    worth.sort_unstable_by(|one, other| other.total_cmp(one));
    worth.truncate(positions);
    Some(worth)
}

/// The total of what the positions bring by themselves.
fn base<F: OneNumber>(fit: &F) -> f64 {
    (0..fit.positions()).filter_map(|at| fit.value(position_at(at), 0.0)).sum()
}

/// The value turned so that more of it is better.
pub(super) fn turned(value: f64, sought: Sought) -> f64 {
    if sought.sense() == Sense::Most { value } else { -value }
}

fn position(slot: Slot) -> PositionId {
    PositionId::new(slot.number())
}

fn position_at(index: usize) -> PositionId {
    PositionId::new(u32::try_from(index).unwrap_or(u32::MAX))
}

/// Whole ticks; a value far beyond what the solver takes stands for no value.
#[expect(clippy::cast_possible_truncation, reason = "the range is looked at")]
fn whole(value: f64) -> Option<i64> {
    let limit = Table::LIMIT as f64;
    (-limit..=limit).contains(&value).then(|| value.round() as i64)
}
