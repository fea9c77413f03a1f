//! How many more parts a wish takes.

use std::collections::BTreeMap;

use pairwright_assign::Measure;
use pairwright_assign::several::SeveralProblem;

use super::{Drawing, Fitting, Need, Needs, Pile, PileError, Step, Worth};

/// What counts as reached.
#[derive(Clone, Copy, Debug)]
enum Test {
    Expected,
    Share(f64),
}

/// What futures with so many further parts come to.
#[derive(Clone, Debug)]
struct At {
    step: Step,
    /// The share that reaches what is wanted.
    reached: f64,
    /// The expected value of what counts first.
    expected: Option<f64>,
}

/// Futures by the number of further parts, each looked at once.
struct Looked<'p, F> {
    pile: &'p Pile<F>,
    wanted: f64,
    drawing: Drawing,
    steps: BTreeMap<usize, At>,
}

impl<F: Fitting> Pile<F> {
    /// Up to so many further parts the fewest is found exactly, with every future.
    pub const FINE: usize = 200;

    /// How many further parts are worth looking at: 5,000, or [`Self::FINE`] where a choice from thousands of parts takes too long to make it
    /// hundreds of times because nothing is known beforehand of what can be left out. That is so of a total or an extreme under limits over
    /// several positions at once or on what may be spent, and of evenness, or of such limits, where something counts before the aim. Where positions take
    /// several parts each it is as many as bundles can be listed of.
    pub fn farthest(&self) -> usize {
        if let Some(together) = self.fit.together() {
            return together.most_further(SeveralProblem::MOST_ITEMS, SeveralProblem::MOST_BUNDLES).min(Self::FINE);
        }
        if self.fit.couples().is_some() {
            return Self::FINE;
        }
        let measure = self.sought.measure();
        let is_even = matches!(measure, Measure::Spread | Measure::SquaresAboutMean);
        let is_near = matches!(measure, Measure::WorstFrom { .. } | Measure::SquaresFrom { .. });
        let is_free = self.fit.widths().is_empty() && self.fit.apart().is_empty();
        let is_quick = if self.fit.before() > 0 {
            is_free && !is_even
        } else {
            (is_even || is_near || is_free) && self.fit.spend().is_none()
        };
        if is_quick { 5_000 } else { Self::FINE }
    }

    /// How many further parts it takes until what counts first ([`Self::leading`]) reaches `wanted` ticks, looking at no more than `most`.
    ///
    /// Within a future a larger pile is never worse, so the expected value and the share of futures that reach `wanted` only get
    /// better with the number of parts, and halving the range finds the fewest. Beyond [`Self::FINE`] parts the range is doubled
    /// first, a quarter of the futures is drawn, and halving ends within a fiftieth of the number ([`Need::About`]). A future in which
    /// the positions cannot be filled reaches nothing, and as long as there is one the expectation reaches nothing either.
    /// O(log `most`) outlooks.
    ///
    /// # Errors
    /// As for [`Pile::outlook`].
    pub fn needs(&self, wanted: f64, most: usize, drawing: Drawing) -> Result<Needs, PileError> {
        let mut looked = Looked { pile: self, wanted, drawing, steps: BTreeMap::new() };
        let expected = looked.fewest(most, Test::Expected)?;
        let as_likely_as_not = looked.fewest(most, Test::Share(0.5))?;
        let likely = looked.fewest(most, Test::Share(0.95))?;
        let farthest = looked.steps.keys().next_back().copied().unwrap_or(most.min(Self::FINE));
        Ok(Needs {
            wanted,
            now: self.worth().map(Worth::leading),
            expected,
            as_likely_as_not,
            likely,
            at_most: looked.at(farthest)?.step,
        })
    }
}

impl<F: Fitting> Looked<'_, F> {
    fn fewest(&mut self, most: usize, test: Test) -> Result<Need, PileError> {
        if self.pile.worth().is_some_and(|now| self.pile.leading().reaches(now.leading(), self.wanted)) {
            return Ok(Need::None);
        }
        let (mut short, mut enough) = (0, most.min(Pile::<F>::FINE));
        while !self.passes(enough, test)? {
            if enough == most {
                return Ok(Need::OutOfReach { most });
            }
            (short, enough) = (enough, most.min(2 * enough));
        }
        let is_fine = enough <= Pile::<F>::FINE;
        while enough - short > if is_fine { 1 } else { enough / 50 } {
            let middle = short + (enough - short) / 2;
            if self.passes(middle, test)? {
                enough = middle;
            } else {
                short = middle;
            }
        }
        Ok(if is_fine { Need::More(enough) } else { Need::About(enough) })
    }

    fn passes(&mut self, more: usize, test: Test) -> Result<bool, PileError> {
        let At { step, reached, expected } = self.at(more)?;
        Ok(match test {
            Test::Share(share) => reached >= share,
            Test::Expected => {
                step.fillable >= 1.0 && expected.is_some_and(|value| self.pile.leading().reaches(value, self.wanted))
            }
        })
    }

    fn at(&mut self, more: usize) -> Result<At, PileError> {
        if let Some(known) = self.steps.get(&more) {
            return Ok(known.clone());
        }
        let mut drawing = self.drawing;
        if more > Pile::<F>::FINE {
            drawing.futures = (drawing.futures / 4).max(Drawing::FEWEST.min(drawing.futures));
        }
        let futures = self.pile.futures(more, drawing)?;
        let leading = self.pile.leading();
        let reaches = |worth: &&Worth| leading.reaches(worth.leading(), self.wanted);
        let reached = futures.iter().filter_map(|found| found.worth.as_ref()).filter(reaches).count() as f64;
        let step = self.pile.step(more, &futures, drawing);
        let expected = step.before.first().map(|total| total.value).or(step.value).map(|value| value.value);
        let at = At { step, reached: reached / futures.len() as f64, expected };
        self.steps.insert(more, at.clone());
        Ok(at)
    }
}
