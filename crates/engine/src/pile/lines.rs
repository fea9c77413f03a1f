//! What numbers parts have, and how every position makes a fit of them, from the values of the parts there are.

use super::affine::{Affine, explained};
use crate::statistics::Summary;

/// Rounding to whole ticks, on both sides of a difference.
const ROUNDING: f64 = 2.0;

/// A value that the numbers miss by less than this share of the stock's scatter counts as explained.
const SLIGHT: f64 = 0.02;

/// The numbers of measured parts, one column each, as far as the fits looked at so far ask for them.
#[derive(Clone, Debug, Default)]
pub(super) struct Columns(pub(super) Vec<Vec<f64>>);

/// Why a fit is no function of a few numbers that are the same at every position.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Unexplained {
    /// At no position all parts have a value.
    NoCommonPosition,
    /// A position makes of the parts what its own and the other positions' numbers do not explain.
    MoreNumbers,
}

impl Columns {
    /// How every position makes a fit from the numbers of a part; a number is added where those so far do not explain the fit.
    ///
    /// `values` holds for every position the value of every measured part. The new number is the value at the first position where every
    /// part has one. Other positions have the same plus something, a multiple of it, or a sum of multiples of all numbers so far, each up to
    /// rounding or 2 % of the scatter. A position where no part has a value takes no further part.
    pub(super) fn learn(&mut self, values: &[Vec<Option<f64>>]) -> Result<Vec<Option<Affine>>, Unexplained> {
        let common = values.iter().find_map(|row| row.iter().copied().collect::<Option<Vec<f64>>>());
        let number = common.ok_or(Unexplained::NoCommonPosition)?;
        let scatter = Summary::of(&number).standard_deviation().unwrap_or(0.0);
        let tolerance = ROUNDING.max(SLIGHT * scatter);
        let own = self.explain(&number, tolerance).unwrap_or_else(|| {
            self.0.push(number.clone());
            Affine::number(self.0.len() - 1)
        });
        values.iter().map(|row| self.position(row, &number, &own, tolerance)).collect()
    }

    fn explain(&self, values: &[f64], tolerance: f64) -> Option<Affine> {
        let columns: Vec<&[f64]> = self.0.iter().map(Vec::as_slice).collect();
        explained(values, &columns, tolerance)
    }

    fn position(
        &self,
        row: &[Option<f64>],
        number: &[f64],
        own: &Affine,
        tolerance: f64,
    ) -> Result<Option<Affine>, Unexplained> {
        let known: Vec<usize> = (0..row.len()).filter(|&part| row[part].is_some()).collect();
        if known.is_empty() {
            return Ok(None);
        }
        let here: Vec<f64> = row.iter().flatten().copied().collect();
        let there: Vec<f64> = known.iter().map(|&part| number[part]).collect();
        let more: Vec<f64> = here.iter().zip(&there).map(|(here, there)| here - there).collect();
        let offset = Summary::of(&more).mean;
        if more.iter().all(|more| (more - offset).abs() <= tolerance.min(ROUNDING)) {
            return Ok(Some(own.times(1.0, offset)));
        }
        if let Some(line) = explained(&here, &[&there], tolerance) {
            return Ok(Some(own.times(line.factors[0], line.offset)));
        }
        let columns: Vec<Vec<f64>> =
            self.0.iter().map(|column| known.iter().map(|&part| column[part]).collect()).collect();
        let columns: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
        explained(&here, &columns, tolerance).map(Some).ok_or(Unexplained::MoreNumbers)
    }
}

#[cfg(test)]
mod tests {
    use super::{Columns, Unexplained};

    fn rows(positions: &[&dyn Fn(f64, f64) -> f64], parts: &[(f64, f64)]) -> Vec<Vec<Option<f64>>> {
        positions.iter().map(|value| parts.iter().map(|&(a, b)| Some(value(a, b).round())).collect()).collect()
    }

    const PARTS: [(f64, f64); 7] = [
        (100.0, 4_000.0),
        (2_600.0, 4_700.0),
        (-1_300.0, 3_100.0),
        (900.0, 2_200.0),
        (4_400.0, 4_100.0),
        (-2_700.0, 3_600.0),
        (1_900.0, 2_900.0),
    ];

    #[test]
    fn one_number_a_fit_and_none_twice() {
        let mut columns = Columns::default();
        let deck = columns.learn(&rows(&[&|a, _| a, &|a, _| a + 500.4], &PARTS)).unwrap();
        assert_eq!(columns.0.len(), 1);
        assert_eq!(deck[1].as_ref().unwrap().factors[..], [1.0]);
        // The head's clearance is the deck's, turned round: no number of its own.
        let to_head = columns.learn(&rows(&[&|a, _| 9_000.0 - a, &|a, _| 8_500.0 - a], &PARTS)).unwrap();
        assert_eq!(columns.0.len(), 1);
        assert!((to_head[1].as_ref().unwrap().at(&[1_000.0]) - 7_500.0).abs() < 1.0);
        let mass = columns.learn(&rows(&[&|_, b| b, &|_, b| b], &PARTS)).unwrap();
        assert_eq!(columns.0.len(), 2);
        assert!((mass[0].as_ref().unwrap().at(&[7.0, 55.0]) - 55.0).abs() < 1e-9);
    }

    #[test]
    fn a_ratio_has_a_factor_a_position() {
        let mut columns = Columns::default();
        let lift = columns.learn(&rows(&[&|a, _| 3.0 * a, &|a, _| 3.3 * a - 40.0], &PARTS)).unwrap();
        assert!((lift[1].as_ref().unwrap().factors[0] - 1.1).abs() < 1e-3);
    }

    #[test]
    fn two_numbers_that_positions_mix_differently_are_noticed() {
        let mut columns = Columns::default();
        let mixed = columns.learn(&rows(&[&|a, b| a + b, &|a, b| a - b], &PARTS));
        assert_eq!(mixed.unwrap_err(), Unexplained::MoreNumbers);
        let apart = [vec![Some(1.0), None], vec![None, Some(1.0)]];
        assert_eq!(columns.learn(&apart).unwrap_err(), Unexplained::NoCommonPosition);
    }
}
