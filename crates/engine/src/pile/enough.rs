//! How many more parts a wish takes.

use std::collections::BTreeMap;

use pairwright_assign::Measure;

use super::{Drawing, Fitting, Need, Needs, Pile, PileError, Step};

/// What counts as reached.
#[derive(Clone, Copy, Debug)]
enum Test {
    Expected,
    Share(f64),
}

/// Futures by the number of further parts, each looked at once.
struct Looked<'p, F> {
    pile: &'p Pile<F>,
    wanted: f64,
    drawing: Drawing,
    steps: BTreeMap<usize, (Step, f64)>,
}

impl<F: Fitting> Pile<F> {
    /// Up to so many further parts the fewest is found exactly, with every future.
    pub const FINE: usize = 200;

    /// How many further parts are worth looking at. Where the least spread, squares about a mean, or anything beside the aim's
    /// limits is asked for, a choice from thousands of parts takes too long to make it hundreds of times.
    pub fn farthest(&self) -> usize {
        let slow = matches!(self.sought.measure(), Measure::Spread | Measure::SquaresAboutMean);
        let free = self.fit.widths().is_empty() && self.fit.apart().is_empty();
        if slow || !free { Self::FINE } else { 5_000 }
    }

    /// How many further parts it takes until the aim reaches `wanted` ticks, looking at no more than `most`.
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
        Ok(Needs { wanted, now: self.now, expected, as_likely_as_not, likely, at_most: looked.at(farthest)?.0 })
    }
}

impl<F: Fitting> Looked<'_, F> {
    fn fewest(&mut self, most: usize, test: Test) -> Result<Need, PileError> {
        if self.pile.now.is_some_and(|now| self.pile.sought.reaches(now, self.wanted)) {
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
        let (step, reached) = self.at(more)?;
        Ok(match test {
            Test::Share(share) => reached >= share,
            Test::Expected => {
                step.fillable >= 1.0
                    && step.value.is_some_and(|value| self.pile.sought.reaches(value.value, self.wanted))
            }
        })
    }

    /// The step, and the share of futures that reach what is wanted.
    fn at(&mut self, more: usize) -> Result<(Step, f64), PileError> {
        if let Some(&known) = self.steps.get(&more) {
            return Ok(known);
        }
        let mut drawing = self.drawing;
        if more > Pile::<F>::FINE {
            drawing.futures = (drawing.futures / 4).max(Drawing::FEWEST.min(drawing.futures));
        }
        let futures = self.pile.futures(more, drawing)?;
        let reaches = |value: &&f64| self.pile.sought.reaches(**value, self.wanted);
        let reached = futures.iter().flatten().filter(reaches).count() as f64 / futures.len() as f64;
        let step = self.pile.step(more, &futures, drawing);
        self.steps.insert(more, (step, reached));
        Ok((step, reached))
    }
}
