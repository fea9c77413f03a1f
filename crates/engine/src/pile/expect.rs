//! What so many more parts are expected to do.

use pairwright_assign::Measure;

use super::found::{Found, Worth};
use super::futures::Future;
use super::joint::Normal;
use super::solve::{Choice, best, kept, turned};
use super::topped_up::expected_gain;
use super::{Drawing, Fitting, Gained, How, Numbers, Outlook, Pile, PileError, Step};
use crate::plan::Interval;

impl<F: Fitting> Pile<F> {
    /// What each of these numbers of further parts would do for the aim.
    ///
    /// For every future the parts are drawn and the choice is made anew from all of them, exactly. Where [`Fitting::factor`] is the same
    /// everywhere, a total is sought and the model is normal, the expectation is integrated instead, for the mean and scatter of every
    /// future; the interval is still that of the drawn parts. One solve a future and number.
    ///
    /// # Errors
    /// [`PileError`] for fewer than 40 futures, and for more or larger values than the solver takes.
    pub fn outlook(&self, more: &[usize], drawing: Drawing) -> Result<Outlook, PileError> {
        let steps = more.iter().map(|&more| Ok(self.step(more, &self.futures(more, drawing)?, drawing)));
        Ok(Outlook {
            parts: self.parts.len(),
            positions: self.fit.positions(),
            model: self.population.model(),
            judged: self.population.judged(),
            scatters: self.population.scatters(),
            now: self.now(),
            before: self.worth().map(|now| now.before.clone()).unwrap_or_default(),
            steps: steps.collect::<Result<_, PileError>>()?,
            futures: drawing.futures,
            seed: drawing.seed,
        })
    }

    /// The best value in every future with so many more parts.
    pub(super) fn futures(&self, more: usize, drawing: Drawing) -> Result<Vec<Found>, PileError> {
        if drawing.futures < Drawing::FEWEST {
            return Err(PileError::TooFewDraws { draws: drawing.futures, fewest: Drawing::FEWEST });
        }
        if more == 0 {
            return Ok(vec![self.now.clone(); drawing.futures]);
        }
        numbers(drawing).map(|number| self.future(more, drawing.seed, number)).collect()
    }

    fn future(&self, more: usize, seed: u64, number: u64) -> Result<Found, PileError> {
        let further = Future::new(&self.population, seed, number).parts(more);
        let found = best(&self.fit, Choice { stock: &self.parts, further: &further }, self.sought)?;
        // The present plan is still there, whatever a search that ended early has met.
        let stays = |now: &&Worth| found.worth.as_ref().is_none_or(|worth| now.betters(worth, self.sought));
        match self.worth().filter(stays) {
            Some(now) if !found.is_proven => Ok(Found { worth: Some(now.clone()), is_proven: false }),
            _ => Ok(found),
        }
    }

    /// Sums up futures with so many more parts.
    pub(super) fn step(&self, more: usize, futures: &[Found], drawing: Drawing) -> Step {
        let worths: Vec<&Worth> = futures.iter().filter_map(|found| found.worth.as_ref()).collect();
        let values: Vec<f64> = worths.iter().map(|worth| worth.aim).collect();
        let share = |count: usize| count as f64 / futures.len() as f64;
        let leads = self.fit.before() == 0;
        // Without anything before it the aim never gets worse: what a future that was not proven falls short is no loss.
        let gain = |value: &f64| {
            self.now().map(|now| self.sought.gain(now, *value)).map(|gain| if leads { gain.max(0.0) } else { gain })
        };
        let gains: Option<Vec<f64>> = values.iter().map(gain).collect();
        let helps = |worth: &&&Worth| self.worth().is_none_or(|now| worth.betters(now, self.sought));
        let helped = worths.iter().filter(helps).count();
        let drawn = Step {
            more,
            fillable: share(values.len()),
            error: standard_error(&values),
            value: interval(values),
            gain: gains.and_then(interval),
            helps: share(helped),
            before: (0..self.fit.before()).filter_map(|at| self.before(at, &worths)).collect(),
            unproven: share(futures.iter().filter(|found| !found.is_proven).count()),
            how: How::Drawn,
        };
        match self.integrated(more, drawing) {
            Some(gains) => self.with_expectation(drawn, &gains),
            None => drawn,
        }
    }

    /// What a total before the aim comes to in these futures.
    fn before(&self, at: usize, worths: &[&Worth]) -> Option<Gained> {
        let values: Vec<f64> = worths.iter().filter_map(|worth| worth.before.get(at)).copied().collect();
        let now = self.worth().and_then(|now| now.before.get(at));
        let gains = now.map(|now| values.iter().map(|value| now - value).collect());
        Some(Gained { gain: gains.and_then(interval), value: interval(values)? })
    }

    /// The expected gain under the mean and scatter of every future; `None` where it has to be drawn.
    fn integrated(&self, more: usize, drawing: Drawing) -> Option<Vec<f64>> {
        let factor = self.fit.factor().filter(|&factor| factor != 0.0 && self.sought.measure() == Measure::Total)?;
        let now = Choice { stock: &self.parts, further: &Numbers::default() };
        let kept = kept(now, self.fit.positions(), factor, self.sought)?;
        let gain = |number| {
            let normal = Future::new(&self.population, drawing.seed, number).normal()?;
            let mean = turned(factor * normal.mean, self.sought);
            Some(expected_gain(&kept, more, Normal { mean, deviation: normal.deviation * factor.abs() }))
        };
        numbers(drawing).map(gain).collect()
    }

    fn with_expectation(&self, drawn: Step, gains: &[f64]) -> Step {
        let expected = gains.iter().sum::<f64>() / gains.len() as f64;
        let value = self.now().map(|now| now + turned(expected, self.sought));
        let around = |interval: Option<Interval>, value: Option<f64>| {
            interval.zip(value).map(|(interval, value)| Interval { value, ..interval })
        };
        Step {
            value: around(drawn.value, value),
            gain: around(drawn.gain, Some(expected)),
            how: How::Integrated,
            error: standard_error(gains),
            ..drawn
        }
    }
}

fn numbers(drawing: Drawing) -> impl Iterator<Item = u64> {
    (0..).take(drawing.futures)
}

/// Mean and central 95 %.
fn interval(mut values: Vec<f64>) -> Option<Interval> {
    values.sort_unstable_by(f64::total_cmp);
    let tail = values.len() / 40;
    let low = *values.get(tail)?;
    let high = *values.get(values.len() - 1 - tail)?;
    Some(Interval { value: values.iter().sum::<f64>() / values.len() as f64, low, high })
}

fn standard_error(values: &[f64]) -> f64 {
    let summary = crate::statistics::Summary::of(values);
    summary.standard_deviation().map_or(0.0, |deviation| deviation / (values.len() as f64).sqrt())
}
