//! How the effects follow a change of the readings.

use super::cells::Cells;
use super::effects::Pair;
use super::fit::solve;
use super::{Effects, Reading, ReduceError};

/// By how much every effect changes, for a change of the readings.
///
/// At given weights the effects are linear in the readings, so this holds for changes of any size: it
/// is what an error common to several readings does to all that is predicted from them.
#[derive(Clone, Debug)]
pub struct Response {
    part: Vec<f64>,
    position: Vec<f64>,
}

impl Response {
    /// By how much the prediction for a pair changes, in the unit of the change; 0 for a part or position without a reading.
    pub fn of(&self, (part, position): Pair) -> f64 {
        let at = |list: &[f64], index: usize| list.get(index).copied().unwrap_or(0.0);
        at(&self.part, part.index()) + at(&self.position, position.index())
    }
}

impl Effects {
    /// The response to a change of each of `readings`, those that were reduced, by what `change` says for its place in the list.
    /// Costs as much as solving once more.
    ///
    /// # Errors
    /// [`ReduceError::IllConditioned`], as the reduction itself.
    pub fn response(&self, readings: &[Reading], change: impl Fn(usize) -> f64) -> Result<Response, ReduceError> {
        let changes: Vec<Reading> =
            readings.iter().enumerate().map(|(at, reading)| Reading { value: change(at), ..*reading }).collect();
        let fit = &self.examined().fit;
        let cells = Cells::gather(fit.components.of_part.len(), &changes, |at| !changes[at].left_out);
        let solution = solve(&cells, &fit.components, &fit.weight)?;
        let mut position = solution.position.clone();
        for (own, on_line) in position.iter_mut().zip(&self.lines().of_position) {
            let Some(on_line) = on_line else { continue };
            let component = self.lines().list[on_line.line].component;
            let measured = &fit.components.list[component.index()].positions;
            *own = on_line.terms.iter().map(|&(row, by)| by * solution.position[measured[row].index()]).sum();
        }
        Ok(Response { part: solution.part, position })
    }
}
