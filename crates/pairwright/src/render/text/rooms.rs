//! The least room that every limited fit has on each bank.

use pairwright_engine::job::FitName;
use pairwright_engine::plan::{Placement, Plan};

use super::english::GLUE;
use super::figure;
use super::grid::Column;
use super::words::{Words, fit_of};
use crate::render::tightest::Limits;

/// Which placements a row is about: those of a bank, or all.
type Row = Option<usize>;

/// For every limited fit the least room of a row, and the position that has it.
pub(super) fn rooms(words: Words<'_>, plan: &Plan, rows: &[Row]) -> Vec<Column> {
    let limits = Limits::of(words.view);
    let column = |fit: FitName| {
        let unit = words.view.unit_of(fit);
        let margin = |place: &Placement| {
            let value = fit_of(place, fit)?.estimate.value;
            Some((limits.margin(fit, place.position, value)?, place.position))
        };
        let cell = |row: &Row| {
            let own = |place: &&Placement| row.is_none_or(|bank| words.view.bank_index(place.position) == Some(bank));
            let least = plan.placements.iter().filter(own).filter_map(margin).min();
            least.map_or_else(String::new, |(margin, position)| {
                let beyond = if margin < 0 { format!("{GLUE}beyond") } else { String::new() };
                let size = figure::size(margin, unit, unit.usual_decimals());
                format!("{size}{beyond}{GLUE}at{GLUE}{}", words.position_id(position))
            })
        };
        let cells: Vec<String> = rows.iter().map(cell).collect();
        cells
            .iter()
            .any(|cell| !cell.is_empty())
            .then(|| Column::new(format!("least room of {}", words.phrase(fit)), cells))
    };
    words.view.job.fits.all().filter_map(column).collect()
}
