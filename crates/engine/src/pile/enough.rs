//! How many more parts a wish takes.

use std::collections::BTreeMap;

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
    /// How many further parts it takes until the aim reaches `wanted` ticks, looking at no more than `most`.
    ///
    /// Within a future a larger pile is never worse, so the expected value and the share of futures that reach `wanted` only get
    /// better with the number of parts, and halving the range finds the fewest. A future in which the positions cannot be filled
    /// reaches nothing, and as long as there is one the expectation reaches nothing either. O(log `most`) outlooks.
    ///
    /// # Errors
    /// As for [`Pile::outlook`].
    pub fn needs(&self, wanted: f64, most: usize, drawing: Drawing) -> Result<Needs, PileError> {
        let mut looked = Looked { pile: self, wanted, drawing, steps: BTreeMap::new() };
        Ok(Needs {
            wanted,
            now: self.now,
            expected: looked.fewest(most, Test::Expected)?,
            as_likely_as_not: looked.fewest(most, Test::Share(0.5))?,
            likely: looked.fewest(most, Test::Share(0.95))?,
            at_most: looked.at(most)?.0,
        })
    }
}

impl<F: Fitting> Looked<'_, F> {
    fn fewest(&mut self, most: usize, test: Test) -> Result<Need, PileError> {
        if self.pile.now.is_some_and(|now| self.pile.sought.reaches(now, self.wanted)) {
            return Ok(Need::None);
        }
        if !self.passes(most, test)? {
            return Ok(Need::OutOfReach { most });
        }
        let (mut short, mut enough) = (0, most);
        while enough - short > 1 {
            let middle = short + (enough - short) / 2;
            if self.passes(middle, test)? {
                enough = middle;
            } else {
                short = middle;
            }
        }
        Ok(Need::More(enough))
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
        let futures = self.pile.futures(more, self.drawing)?;
        let reaches = |value: &&f64| self.pile.sought.reaches(**value, self.wanted);
        let reached = futures.iter().flatten().filter(reaches).count() as f64 / futures.len() as f64;
        let step = self.pile.step(more, &futures, self.drawing);
        self.steps.insert(more, (step, reached));
        Ok((step, reached))
    }
}
