//! What a pile is shown by.

use pairwright_engine::job::{FitName, Goal, Job, Measured};
use pairwright_engine::pile::{Drawing, Model, Need, Needs, Outlook, Step};
use pairwright_engine::plan::Interval;
use pairwright_engine::quantity::Unit;

use super::json::{ModelWord, Outlying, PileDocument, PileStep, ToReach};
use super::view::{View, number};

/// A match whose pile is asked about.
#[derive(Clone, Copy, Debug)]
pub struct PileView<'a> {
    /// The job.
    pub job: &'a Job,
    /// Index of the match.
    pub index: usize,
    /// The kind of the parts.
    pub kind: &'a str,
    /// The aim's fit.
    pub fit: FitName,
    /// The fit that each of a part's numbers is told by.
    pub numbers: &'a [FitName],
    /// How futures are drawn.
    pub futures: Drawing,
}

impl<'a> PileView<'a> {
    fn unit(self) -> Unit {
        View::of(self.job, self.index).map_or(self.job.units, |view| view.unit_of(self.fit))
    }

    /// A typed number of the job's unit in ticks.
    pub(crate) fn ticks(self, typed: f64) -> f64 {
        typed / number(1.0, self.unit())
    }

    pub(crate) fn name(self) -> &'a str {
        self.job.matches.get(self.index).map_or("", |matching| &matching.name)
    }

    pub(crate) fn position_kind(self) -> &'a str {
        View::of(self.job, self.index).map_or("position", View::position_kind)
    }

    pub(crate) fn number(self, number: usize) -> &'a str {
        self.numbers.get(number).map_or("its numbers", |&fit| self.job.fits.phrase(fit))
    }

    /// What is sought, in words.
    pub(crate) fn sought(self) -> String {
        let phrase = self.job.fits.phrase(self.fit);
        let Some(matching) = self.job.matches.get(self.index) else { return phrase.to_owned() };
        let what = match (matching.aim.goal, matching.aim.by) {
            (Goal::Even, Measured::Squares) => "the scatter of",
            (Goal::Even, _) => "the spread of",
            (Goal::Near(_), Measured::Squares) => "the root mean square deviation of",
            (Goal::Near(_), _) => "the largest deviation of",
            (Goal::Highest, Measured::Extreme) => "the least",
            (Goal::Lowest, Measured::Extreme) => "the greatest",
            (Goal::Highest | Goal::Lowest, _) => "the total of",
        };
        format!("{what} {phrase}")
    }

    pub(crate) fn unit_name(self) -> &'static str {
        self.unit().symbol()
    }

    pub(crate) fn unit_in_words(self) -> &'static str {
        match self.unit() {
            Unit::Inch => "inches",
            Unit::Millimetre => "millimetres",
            Unit::Gram => "grams",
            other => other.symbol(),
        }
    }

    /// A figure without its unit.
    pub(crate) fn figure(self, ticks: f64) -> String {
        let decimals = match self.unit() {
            Unit::Inch => 4,
            Unit::Gram => 1,
            _ => 3,
        };
        format!("{:.decimals$}", number(ticks, self.unit()))
    }

    /// A figure with its unit.
    pub(crate) fn size(self, ticks: f64) -> String {
        format!("{} {}", self.figure(ticks), self.unit_name())
    }
}

/// The outlook of a pile as JSON, format 1.
#[must_use]
pub fn pile_json(view: PileView<'_>, outlook: &Outlook, needs: Option<&Needs>) -> String {
    let of = |ticks: f64| number(ticks, view.unit());
    let interval = |one: Interval| Outlying { value: of(one.value), low: of(one.low), high: of(one.high) };
    let need = |need: &Need| match need {
        Need::None => Some(0),
        Need::More(more) | Need::About(more) => Some(*more),
        Need::OutOfReach { .. } => None,
    };
    let step = |step: &Step| PileStep {
        more: step.more,
        value: step.value.map(interval),
        gain: step.gain.map(interval),
        fillable: step.fillable,
        helps: step.helps,
    };
    let to_reach = |needs: &Needs| ToReach {
        value: of(needs.wanted),
        expected: need(&needs.expected),
        half_of_futures: need(&needs.as_likely_as_not),
        nineteen_of_twenty: need(&needs.likely),
        looked_at: needs.at_most.more,
    };
    let document = PileDocument {
        format: 1,
        matching: view.name().to_owned(),
        kind: view.kind.to_owned(),
        fit: view.job.fits.name(view.fit).to_owned(),
        sought: view.sought(),
        unit: view.unit_name().to_owned(),
        parts: outlook.parts,
        positions: outlook.positions,
        now: outlook.now.map(of),
        model: if outlook.model == Model::Normal { ModelWord::Normal } else { ModelWord::Smoothed },
        steps: outlook.steps.iter().map(step).collect(),
        to_reach: needs.map(to_reach),
        seed: view.futures.seed,
        futures: view.futures.futures,
    };
    let mut text = serde_json::to_string_pretty(&document).unwrap_or_default();
    text.push('\n');
    text
}
