//! Positions that nobody measured, on a deck that its user calls straight.
//!
//! With `d_j = a + b·x_j + w_j`, `w ~ N(0, s_form²)`, the line through the measured positions of the bank (by ordinary least squares) gives
//! an unmeasured one as `d_j = Σ_m λ_m d_m`, `λ_m = 1/k + (x_j - x̄)(x_m - x̄)/S_xx`. Its error is that of the readings, carried through
//! the same λ, plus a form error with the variance `s_form² (1 + Σ λ_m²)`.
//!
//! Where the form is not stated it is the scatter of three or more measured positions about the line, `k - 2` degrees of freedom. The
//! readings' own error is in that scatter and is not taken off again: with so few positions the difference would often be nothing.

use super::components::Components;
use super::fit::Solution;
use super::{BankId, ComponentId, Deck, PositionId};
use crate::statistics::Dof;

/// The line of one bank.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line {
    pub(super) component: ComponentId,
    /// `s_form²` in nm².
    pub(super) form: f64,
    pub(super) dof: Dof,
}

/// A position predicted from its bank's line.
#[derive(Clone, Debug)]
pub(super) struct OnLine {
    /// Place in [`Lines::list`].
    pub(super) line: usize,
    /// Row in the component and λ.
    pub(super) terms: Vec<(usize, f64)>,
    /// `d_j` in nm.
    pub(super) effect: f64,
}

/// A straight bank whose unmeasured positions cannot be predicted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct NoLine {
    pub(super) bank: BankId,
    pub(super) measured: usize,
    pub(super) needed: usize,
}

/// All lines.
#[derive(Clone, Debug)]
pub(super) struct Lines {
    pub(super) list: Vec<Line>,
    pub(super) of_position: Vec<Option<OnLine>>,
    pub(super) refused: Vec<NoLine>,
}

/// A measured position: its row in the component, its coordinate and its effect.
struct Point {
    row: usize,
    along: f64,
    effect: f64,
}

impl Lines {
    /// Draws the line of every straight bank that has unmeasured positions.
    pub(super) fn draw(decks: &[Deck], components: &Components, solution: &Solution) -> Self {
        let mut out =
            Self { list: Vec::new(), of_position: vec![None; components.of_position.len()], refused: Vec::new() };
        for (bank, deck) in (0..).map(BankId::new).zip(decks) {
            let unmeasured = |id: PositionId| components.of_position[id.index()].is_none();
            if deck.straight && deck.stations.iter().any(|at| unmeasured(at.position)) {
                out.draw_bank(bank, deck, components, solution);
            }
        }
        out
    }

    fn draw_bank(&mut self, bank: BankId, deck: &Deck, components: &Components, solution: &Solution) {
        let (component, points) = measured(deck, components, solution);
        let needed = if deck.form.is_some() { 2 } else { 3 };
        let count = points.len() as f64;
        let centre = points.iter().map(|point| point.along).sum::<f64>() / count;
        let extent: f64 = points.iter().map(|point| (point.along - centre).powi(2)).sum();
        let (Some(component), true) = (component, points.len() >= needed && extent > 0.0) else {
            self.refused.push(NoLine { bank, measured: points.len(), needed });
            return;
        };
        let terms = |along: f64| -> Vec<(usize, f64)> {
            points
                .iter()
                .map(|point| {
                    let slope = (along - centre) * (point.along - centre) / extent;
                    (point.row, 1.0 / count + slope)
                })
                .collect()
        };
        let value = |terms: &[(usize, f64)]| -> f64 {
            terms.iter().zip(&points).map(|((_, factor), point)| factor * point.effect).sum()
        };
        let squares: f64 = points.iter().map(|point| (point.effect - value(&terms(point.along))).powi(2)).sum();
        let (form, dof) = match (deck.form, Dof::of_count(points.len() - 2)) {
            (Some(stated), _) => (stated * stated, Dof::INFINITE),
            (None, Some(dof)) => (squares / dof.value(), dof),
            (None, None) => return,
        };
        for station in &deck.stations {
            let place = &mut self.of_position[station.position.index()];
            if components.of_position[station.position.index()].is_none() && place.is_none() {
                let terms = terms(station.along);
                let effect = value(&terms);
                *place = Some(OnLine { line: self.list.len(), terms, effect });
            }
        }
        self.list.push(Line { component, form, dof });
    }
}

/// The measured positions of a bank in the component that has most of them (the first of equals): effects of different components have
/// no common zero.
fn measured(deck: &Deck, components: &Components, solution: &Solution) -> (Option<ComponentId>, Vec<Point>) {
    let mut seen = Vec::new();
    let mut best: (Option<ComponentId>, Vec<Point>) = (None, Vec::new());
    for id in deck.stations.iter().filter_map(|at| components.of_position[at.position.index()]) {
        if seen.contains(&id) {
            continue;
        }
        seen.push(id);
        let mut taken: Vec<PositionId> = Vec::new();
        let mut points = Vec::new();
        for at in &deck.stations {
            let place = at.position.index();
            if components.of_position[place] == Some(id) && !taken.contains(&at.position) {
                taken.push(at.position);
                points.push(Point { row: components.row[place], along: at.along, effect: solution.position[place] });
            }
        }
        if points.len() > best.1.len() {
            best = (Some(id), points);
        }
    }
    best
}
