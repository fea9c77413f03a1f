//! The effects, and what they predict.

use super::cells::Cells;
use super::components::Components;
use super::fit::{solve, weights};
use super::linear::{Fit, Row};
use super::repeatability::Repeatability;
use super::rounding::Scatter;
use super::straight::{Lines, OnLine};
use super::survey::survey;
use super::suspects::{Examined, examine};
use super::untied::{Untied, untied};
use super::{ComponentId, Deck, Finding, Gauge, PartId, PositionId, Reading, ReduceError};
use crate::statistics::{Dof, welch_satterthwaite};
use nalgebra::DMatrix;

/// A part in a position.
pub type Pair = (PartId, PositionId);

/// What a part would read in a position.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Prediction {
    /// The part's effect plus the position's, in nm.
    pub value: f64,
    /// Standard uncertainty in nm of the true value (not of the next reading).
    pub u: f64,
    /// Effective degrees of freedom of `u`.
    pub dof: Dof,
    /// The position was not measured: its effect comes from the straight line of its deck.
    pub from_line: bool,
}

/// What one pair would read more than another.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Difference {
    /// First less second, in nm.
    pub value: f64,
    /// Standard uncertainty of the difference in nm; what the two have in common cancels.
    pub u: f64,
    /// Effective degrees of freedom of `u`.
    pub dof: Dof,
}

/// Effects of parts and positions, with everything needed to predict any tied pair.
#[derive(Clone, Debug)]
pub struct Effects {
    whole: Examined,
    lines: Lines,
    findings: Vec<Finding>,
    untied: Untied,
}

/// A pair as a row of the fit, and the line it leans on.
struct PairRow {
    row: Row,
    on_line: Option<PositionId>,
}

/// Reduces readings of `parts` parts in `positions` positions to effects. Values are nm throughout.
///
/// Readings that are left out take no part. `decks` allows positions that nobody measured to be predicted from a straight deck. To see
/// the effects without a reading, mark it left out and reduce again: a reduction costs little more than sorting the readings.
///
/// O(n log n + Σ r² + p³) for n readings, r cells a part and p positions a component; nothing is quadratic in the number of parts.
///
/// # Errors
/// Fails where a reading or a bank names a part or position beyond the lists, and where a number is not finite or no length of an
/// engine. Readings that do not tie everything together are no error: what they leave open is not predicted.
///
/// # Examples
/// A control part in two holes, and a second part in the first hole only:
/// ```
/// use pairwright_engine::readings::{Gauge, PartId, PositionId, Reading, reduce};
///
/// let reading = |line, part, position, value| Reading {
///     part: PartId::new(part),
///     position: PositionId::new(position),
///     value,
///     spot: None,
///     left_out: false,
///     line,
/// };
/// let readings = [reading(2, 0, 0, 30_000.0), reading(3, 0, 1, 12_000.0), reading(4, 1, 0, 45_000.0)];
/// let gauge = Gauge { resolution: None, repeatability: Some(1_000.0) };
/// let effects = reduce(2, 2, &readings, &gauge, &[])?;
///
/// let unread = effects.predict(PartId::new(1), PositionId::new(1)).expect("the control part ties the two");
/// assert!((unread.value - 27_000.0).abs() < 1e-6);
/// // Three readings, each with its own error.
/// assert!((unread.u - 1_000.0 * 3.0_f64.sqrt()).abs() < 1e-6);
/// # Ok::<(), pairwright_engine::readings::ReduceError>(())
/// ```
pub fn reduce(
    parts: usize,
    positions: usize,
    readings: &[Reading],
    gauge: &Gauge,
    decks: &[Deck],
) -> Result<Effects, ReduceError> {
    for reading in readings {
        reading.check(parts, positions)?;
    }
    gauge.check()?;
    for deck in decks {
        deck.check(positions)?;
    }
    let used: Vec<bool> = readings.iter().map(|reading| !reading.left_out).collect();
    let whole = examine(parts, positions, readings, &used, gauge)?;
    let lines = Lines::draw(decks, &whole.fit.components, &whole.fit.solution);
    let mut effects = Effects { whole, lines, findings: Vec::new(), untied: Untied::default() };
    effects.untied = untied(
        &effects.whole.fit,
        |part| effects.component_of_part(part),
        |position| effects.component_of_position(position),
    );
    effects.findings = survey(&effects, gauge, readings, used)?;
    Ok(effects)
}

/// The fit at a known scatter; where none is known, by numbers of repeats and with all variances 0.
pub(super) fn fit_at(cells: Cells, components: Components, scatter: &Scatter) -> Result<Fit, ReduceError> {
    let (scatter, scale) = if scatter.is_unknown() {
        let unit = Scatter { as_read: 1.0, ..*scatter };
        (unit, 0.0)
    } else {
        (*scatter, 1.0)
    };
    let weight = weights(&cells, &scatter);
    let solution = solve(&cells, &components, &weight)?;
    let covariance = solution.covariances();
    Ok(Fit { cells, components, weight, solution, covariance, scale })
}

impl Effects {
    /// The component of a part; `None` where it has no reading, or is not one of the parts.
    pub fn component_of_part(&self, part: PartId) -> Option<ComponentId> {
        *self.whole.fit.components.of_part.get(part.index())?
    }

    /// The component of a position; `None` where it has no reading and no line predicts it.
    pub fn component_of_position(&self, position: PositionId) -> Option<ComponentId> {
        let read = *self.whole.fit.components.of_position.get(position.index())?;
        read.or_else(|| {
            let on_line = self.lines.of_position[position.index()].as_ref()?;
            Some(self.lines.list[on_line.line].component)
        })
    }

    /// How many separate components the readings form.
    pub fn components(&self) -> usize {
        self.whole.fit.components.list.len()
    }

    /// h of a part in nm: what it reads, or would read, on average over the measured positions of its component.
    ///
    /// Effects of different components have no common zero and are not to be compared.
    pub fn part_effect(&self, part: PartId) -> Option<f64> {
        self.component_of_part(part)?;
        Some(self.whole.fit.solution.part[part.index()])
    }

    /// d of a position in nm: how much more any part reads in it than on average over the measured positions of its component, over
    /// which d sums to zero.
    pub fn position_effect(&self, position: PositionId) -> Option<f64> {
        self.component_of_position(position)?;
        Some(match &self.lines.of_position[position.index()] {
            Some(on_line) => on_line.effect,
            None => self.whole.fit.solution.position[position.index()],
        })
    }

    /// What a part would read in a position: exactly [`Effects::part_effect`] plus [`Effects::position_effect`].
    ///
    /// `None` where the readings do not tie the two together. O((1 + r)²) for a part with r cells.
    pub fn predict(&self, part: PartId, position: PositionId) -> Option<Prediction> {
        let pair = self.pair_row((part, position))?;
        let (u, dof) = self.doubt(&[(1.0, &pair)]);
        Some(Prediction { value: self.value((part, position))?, u, dof, from_line: pair.on_line.is_some() })
    }

    /// Joint covariance in nm² of the predictions of these pairs, symmetric and positive semidefinite up to the last digits: what pairs
    /// share (a part, a position, the control part, a deck's line) is in it, and so is the gauge's step.
    ///
    /// `None` where one of the pairs cannot be predicted. Pairs of different components are independent. O(k² r²) for k pairs.
    pub fn covariance(&self, pairs: &[Pair]) -> Option<DMatrix<f64>> {
        let rows = pairs.iter().map(|&pair| self.pair_row(pair)).collect::<Option<Vec<_>>>()?;
        let mut out = DMatrix::zeros(rows.len(), rows.len());
        for (i, a) in rows.iter().enumerate() {
            for (j, b) in rows.iter().enumerate().take(i + 1) {
                let covariance = self.whole.fit.covariance(&a.row, &b.row) + self.form_covariance(a, b);
                out[(i, j)] = covariance;
                out[(j, i)] = covariance;
            }
        }
        Some(out)
    }

    /// What one pair would read more than another, and how well that is known: much better than either, where they share readings.
    ///
    /// `None` where one of them cannot be predicted or they lie in different components.
    pub fn difference(&self, first: Pair, second: Pair) -> Option<Difference> {
        let (a, b) = (self.pair_row(first)?, self.pair_row(second)?);
        if a.row.component != b.row.component {
            return None;
        }
        let (u, dof) = self.doubt(&[(1.0, &a), (-1.0, &b)]);
        Some(Difference { value: self.value(first)? - self.value(second)?, u, dof })
    }

    /// Standard uncertainty in nm and effective degrees of freedom of a sum of multiples of predictions, and whether any of them
    /// comes from the line of a deck. `None` where one of the pairs cannot be predicted.
    pub fn sum(&self, terms: &[(f64, Pair)]) -> Option<(f64, Dof, bool)> {
        let rows = terms.iter().map(|&(by, pair)| Some((by, self.pair_row(pair)?))).collect::<Option<Vec<_>>>()?;
        let terms: Vec<(f64, &PairRow)> = rows.iter().map(|(by, row)| (*by, row)).collect();
        let (u, dof) = self.doubt(&terms);
        Some((u, dof, rows.iter().any(|(_, row)| row.on_line.is_some())))
    }

    /// The scatter of one reading, and where it is known from.
    pub const fn repeatability(&self) -> &Repeatability {
        &self.whole.repeatability
    }

    /// What is odd about the readings, the gravest first.
    pub fn findings(&self) -> &[Finding] {
        &self.findings
    }

    /// The pairs that cannot be predicted, and the fewest readings that would tie everything together.
    pub const fn untied(&self) -> &Untied {
        &self.untied
    }

    pub(super) const fn examined(&self) -> &Examined {
        &self.whole
    }

    pub(super) const fn lines(&self) -> &Lines {
        &self.lines
    }

    fn value(&self, (part, position): Pair) -> Option<f64> {
        Some(self.part_effect(part)? + self.position_effect(position)?)
    }

    fn pair_row(&self, (part, position): Pair) -> Option<PairRow> {
        let component = self.component_of_part(part)?;
        if self.component_of_position(position)? != component {
            return None;
        }
        Some(match &self.lines.of_position[position.index()] {
            Some(on_line) => PairRow { row: self.whole.fit.row(part, &on_line.terms)?, on_line: Some(position) },
            None => PairRow {
                row: self.whole.fit.row(part, &[(self.whole.fit.components.row[position.index()], 1.0)])?,
                on_line: None,
            },
        })
    }

    fn on_line(&self, pair: &PairRow) -> Option<&OnLine> {
        self.lines.of_position[pair.on_line?.index()].as_ref()
    }

    /// Covariance of the form errors of two pairs: they share the form of the measured positions of one deck, and their own.
    fn form_covariance(&self, a: &PairRow, b: &PairRow) -> f64 {
        match (self.on_line(a), self.on_line(b)) {
            (Some(left), Some(right)) if left.line == right.line => {
                let shared: f64 = left.terms.iter().zip(&right.terms).map(|((_, l), (_, r))| l * r).sum();
                let own = if a.on_line == b.on_line { 1.0 } else { 0.0 };
                self.lines.list[left.line].form * (shared + own)
            }
            _ => 0.0,
        }
    }

    /// Standard uncertainty and effective degrees of freedom of a sum of multiples of pairs.
    ///
    /// What the gauge's step adds counts as no better known than the scatter: a scatter that a few readings happen to show small would
    /// otherwise turn into certainty. For the same reason the form of a deck, where estimated, lends its own degrees of freedom to the
    /// whole, however small it came out.
    fn doubt(&self, terms: &[(f64, &PairRow)]) -> (f64, Dof) {
        let mut reading = 0.0;
        let mut forms: Vec<(usize, f64)> = Vec::new();
        for (factor_a, a) in terms {
            for (factor_b, b) in terms {
                let factor = factor_a * factor_b;
                reading += factor * self.whole.fit.covariance(&a.row, &b.row);
                if let Some(on_line) = self.on_line(a) {
                    forms.push((on_line.line, factor * self.form_covariance(a, b)));
                }
            }
        }
        forms.sort_by_key(|(line, _)| *line);
        let mut sources = vec![(reading.max(0.0), self.whole.repeatability.dof)];
        let mut most = Dof::INFINITE;
        for line in forms.chunk_by(|a, b| a.0 == b.0) {
            let variance: f64 = line.iter().map(|(_, variance)| variance).sum();
            let dof = self.lines.list[line[0].0].dof;
            if variance > 0.0 && dof < most {
                most = dof;
            }
            sources.push((variance.max(0.0), dof));
        }
        let variance: f64 = sources.iter().map(|(variance, _)| variance).sum();
        let combined = welch_satterthwaite(&sources);
        (variance.sqrt(), if combined < most { combined } else { most })
    }
}
