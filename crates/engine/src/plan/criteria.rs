//! The criteria of a match, in order.

use pairwright_proof::{Measure, Sense};

use super::frame::Frame;
use super::layer::Layer;
use super::question::Question;
use crate::job::{Aim, FitName, Goal, Measured, Next};

/// What is measured how.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Criterion {
    pub(super) layer: Layer,
    pub(super) measure: Measure,
    pub(super) sense: Sense,
}

impl Frame<'_> {
    /// What the parts that stand beside those that vary add to a total that a criterion counts; 0 for a spread.
    pub(crate) fn adds_to(&self, next: Next) -> i64 {
        let layer = match next {
            Next::Spread(_) => return 0,
            Next::Moves => Layer::Moves,
            Next::Price => Layer::Price,
            Next::Bought => Layer::Bought,
        };
        i64::try_from(self.adds(layer)).unwrap_or(i64::MAX)
    }
}

/// What comes first, the aim, then what decides after it: `then`, else least spread, least squares, fewest moves.
pub(super) fn criteria(question: &Question<'_>) -> Vec<Criterion> {
    let (measure, sense) = of_aim(&question.matching.aim);
    let least = |layer, measure| Criterion { layer, measure, sense: Sense::Least };
    let next = |next: &Next| match *next {
        Next::Spread(fit) => least(layer_of(question, fit), Measure::Spread),
        Next::Moves => least(Layer::Moves, Measure::Total),
        Next::Price => least(Layer::Price, Measure::Total),
        Next::Bought => least(Layer::Bought, Measure::Total),
    };
    let mut all: Vec<Criterion> = question.matching.buying.first.iter().map(next).collect();
    all.push(Criterion { layer: Layer::Aim, measure, sense });
    let Some(then) = &question.matching.then else {
        let about_mean = [Measure::Spread, Measure::SquaresAboutMean];
        all.extend(about_mean.into_iter().filter(|&other| other != measure).map(|other| least(Layer::Aim, other)));
        if question.knows_where_parts_stand() {
            all.push(least(Layer::Moves, Measure::Total));
        }
        return all;
    };
    all.extend(then.iter().map(next));

    all
}

/// The layer of a fit: the aim's is the first.
pub(super) fn layer_of(question: &Question<'_>, fit: FitName) -> Layer {
    if fit == question.matching.aim.fit { Layer::Aim } else { Layer::Fit(fit) }
}

/// The measure that judges an aim.
pub(super) fn of_aim(aim: &Aim) -> (Measure, Sense) {
    match (aim.goal, aim.by) {
        (Goal::Even, Measured::Squares) => (Measure::SquaresAboutMean, Sense::Least),
        (Goal::Even, _) => (Measure::Spread, Sense::Least),
        (Goal::Near(target), Measured::Squares) => (Measure::SquaresFrom { target: target.ticks() }, Sense::Least),
        (Goal::Near(target), _) => (Measure::WorstFrom { target: target.ticks() }, Sense::Least),
        (Goal::Highest, Measured::Extreme) => (Measure::Least, Sense::Most),
        (Goal::Highest, _) => (Measure::Total, Sense::Most),
        (Goal::Lowest, Measured::Extreme) => (Measure::Greatest, Sense::Least),
        (Goal::Lowest, _) => (Measure::Total, Sense::Least),
    }
}
