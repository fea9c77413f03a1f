//! Odd readings, one after another.

use super::cells::Cells;
use super::components::Components;
use super::deleted::{Crosscheck, Deleted, Verdict};
use super::effects::fit_at;
use super::linear::Fit;
use super::repeatability::{Repeatability, estimate};
use super::{Finding, Gauge, Reading, ReduceError};
use crate::statistics::Risk;

/// A reading is called odd where the worst of all readings would be as far out less often than this.
const ODD: Risk = Risk::ONE_IN_20;
/// Two explanations are told apart where the residual sum of squares, in units of the scatter, prefers one by more than this: the 1 in 20
/// point of chi-squared with one degree of freedom.
const DECISIVE: f64 = 3.84;
/// Odd readings looked for at most, each for the price of a reduction.
const MOST: usize = 16;

/// A reduction of the readings that are in use, with each of them checked.
#[derive(Clone, Debug)]
pub(super) struct Examined {
    pub(super) fit: Fit,
    pub(super) repeatability: Repeatability,
    pub(super) crosscheck: Crosscheck,
}

/// Reduces the readings whose place in the list is `used`, and compares each with the others.
pub(super) fn examine(
    parts: usize,
    positions: usize,
    readings: &[Reading],
    used: &[bool],
    gauge: &Gauge,
) -> Result<Examined, ReduceError> {
    let cells = Cells::gather(parts, readings, |at| used[at]);
    let components = Components::of(parts, positions, &cells);
    let (repeatability, scatter) = estimate(&cells, &components, gauge)?;
    let fit = fit_at(cells, components, &scatter)?;
    let crosscheck = Crosscheck::of(&fit, &scatter, |at| readings[at].value);
    Ok(Examined { fit, repeatability, crosscheck })
}

impl Examined {
    pub(super) fn verdict(&self) -> Option<Verdict> {
        self.crosscheck.verdict(self.repeatability.dof)
    }

    /// The readings beyond the threshold, the oddest first, equals by their line.
    fn odd(&self, readings: &[Reading]) -> Vec<Deleted> {
        let Some(verdict) = self.verdict() else {
            return Vec::new();
        };
        let threshold = verdict.threshold(ODD);
        let mut odd: Vec<Deleted> =
            self.crosscheck.checked.iter().filter(|deleted| verdict.t(deleted).abs() > threshold).copied().collect();
        odd.sort_by(|a, b| {
            // Rounding must not decide between two repeats that are equally far out.
            let (size_a, size_b) = (a.squared * (1.0 + 1e-9), b.squared * (1.0 + 1e-9));
            if size_a < b.squared || size_b < a.squared {
                b.squared.total_cmp(&a.squared)
            } else {
                readings[a.reading].line.cmp(&readings[b.reading].line)
            }
        });
        odd
    }

    fn others(&self, deleted: &Deleted) -> usize {
        let part = self.fit.cells.list[deleted.cell].part;
        let component = self.fit.components.of_part[part.index()];
        component.map_or(0, |id| self.fit.components.list[id.index()].readings - 1)
    }
}

/// Names the odd readings, taking the oddest away and looking again until none is left.
///
/// `whole` is the examination of all readings in use. Returns the last one after readings were taken away; `None` where none is odd.
pub(super) fn name_odd(
    whole: &Examined,
    gauge: &Gauge,
    readings: &[Reading],
    mut used: Vec<bool>,
    findings: &mut Vec<Finding>,
) -> Result<Option<Examined>, ReduceError> {
    let parts = whole.fit.components.of_part.len();
    let positions = whole.fit.components.of_position.len();
    let mut odd = whole.odd(readings);
    let mut rest: Option<Examined> = None;
    for _ in 0..MOST {
        let Some(&worst) = odd.first() else {
            break;
        };
        used[worst.reading] = false;
        let next = examine(parts, positions, readings, &used, gauge)?;
        let next_odd = next.odd(readings);
        let still = |deleted: &Deleted| next_odd.iter().any(|other| other.reading == deleted.reading);
        let same: Vec<Deleted> = odd
            .iter()
            .filter(|deleted| worst.squared - deleted.squared < DECISIVE)
            .filter(|deleted| deleted.reading == worst.reading || !still(deleted))
            .copied()
            .collect();
        findings.push(rest.as_ref().unwrap_or(whole).describe(&worst, &same, readings));
        odd = next_odd;
        rest = Some(next);
    }
    Ok(rest)
}

impl Examined {
    /// Says what is odd: `same` are the readings any one of which would explain it, the worst included.
    fn describe(&self, worst: &Deleted, same: &[Deleted], readings: &[Reading]) -> Finding {
        let (t, p) = self.verdict().map_or((0.0, 1.0), |verdict| {
            let t = verdict.t(worst);
            (t, verdict.p(t))
        });
        let mut lines: Vec<u32> = same.iter().map(|deleted| readings[deleted.reading].line).collect();
        lines.sort_unstable();
        let value = readings[worst.reading].value;
        match (lines.as_slice(), same) {
            (&[first, second], &[a, b]) if self.are_repeats(&a, &b) => Finding::PairDisagrees {
                lines: [first, second],
                apart: (readings[a.reading].value - readings[b.reading].value).abs(),
                p,
            },
            ([] | [_], _) => Finding::Outlier {
                line: readings[worst.reading].line,
                value,
                expected: value - worst.off,
                others: self.others(worst),
                t,
                p,
            },
            _ => Finding::CircleDisagrees { lines, off: worst.off.abs(), p },
        }
    }

    fn are_repeats(&self, a: &Deleted, b: &Deleted) -> bool {
        a.cell == b.cell
            && self.fit.cells.spots(&self.fit.cells.list[a.cell]).iter().any(|repeats| {
                let order = &self.fit.cells.order[repeats.range()];
                order.contains(&a.reading) && order.contains(&b.reading)
            })
    }
}
