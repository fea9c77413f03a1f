//! What a pile is shown by.

use pairwright_engine::job::{FitName, Goal, Job, Measured, Next};
use pairwright_engine::pile::{Drawing, Gained, Gathered, Model, Need, Needs, Outlook, Step};
use pairwright_engine::plan::Interval;
use pairwright_engine::quantity::{Amount, Unit};

use super::json::{BeforeStep, BeforeWord, CountsBefore, ModelWord, Outlying, PileDocument, PileStep, ToReach};
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
    /// How many of the parts are pieces of stated sizes that nobody measured.
    pub stated: usize,
    /// The aim's fit.
    pub fit: FitName,
    /// The fit that each of a part's numbers is told by.
    pub numbers: &'a [FitName],
    /// What counts before the aim, in order.
    pub before: &'a [Next],
    /// What is gathered.
    pub gathered: Gathered<'a>,
    /// Decimals beyond the usual ones of the unit.
    pub finer: usize,
    /// How futures are drawn.
    pub futures: Drawing,
}

impl<'a> PileView<'a> {
    fn unit(self) -> Unit {
        View::of(self.job, self.index).map_or(self.job.units, |view| view.unit_of(self.fit))
    }

    /// A typed value of what counts first, in ticks: one of the job's unit, a sum of money, a number of parts.
    pub(crate) fn wanted(self, typed: f64) -> f64 {
        match self.before.first() {
            Some(&next) => typed / total(next, 1.0),
            None => typed / number(1.0, self.unit()),
        }
    }

    pub(crate) fn name(self) -> &'a str {
        self.job.matches.get(self.index).map_or("", |matching| &matching.name)
    }

    /// What may be spent, in ticks of money.
    pub(crate) fn spend(self) -> Option<i64> {
        self.job.matches.get(self.index)?.buying.spend.map(Amount::ticks)
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

    /// In which unit the figures of the aim are.
    pub(crate) fn unit_in_words(self) -> String {
        match self.unit() {
            Unit::One => "Figures of the aim have no unit.".to_owned(),
            Unit::Inch => "Every figure of the aim is in inches.".to_owned(),
            Unit::Millimetre => "Every figure of the aim is in millimetres.".to_owned(),
            Unit::Gram => "Every figure of the aim is in grams.".to_owned(),
            other => format!("Every figure of the aim is in {}.", other.symbol()),
        }
    }

    /// The same with so many decimals that the smallest of these values is told by more than one figure, up to three more than usual.
    pub(crate) fn telling(self, ticks: impl Iterator<Item = f64>) -> Self {
        let smallest = ticks.map(f64::abs).filter(|&value| value > 0.5).fold(f64::INFINITY, f64::min);
        let tells = |finer: &usize| {
            let shown = Self { finer: *finer, ..self }.figure(smallest);
            shown.bytes().filter(u8::is_ascii_digit).skip_while(|&digit| digit == b'0').count() > 1
        };
        Self { finer: if smallest.is_finite() { (0..3).find(tells).unwrap_or(3) } else { 0 }, ..self }
    }

    /// A figure without its unit.
    pub(crate) fn figure(self, ticks: f64) -> String {
        let decimals = match self.unit() {
            Unit::Inch => 4,
            Unit::Gram => 1,
            _ => 3,
        };
        let decimals = decimals + self.finer;
        format!("{:.decimals$}", number(ticks, self.unit()))
    }

    /// A figure of what counts first.
    pub(crate) fn leading(self, ticks: f64) -> String {
        self.before
            .first()
            .map_or_else(|| self.size(ticks), |&next| format!("{} {}", total_name(next), total_text(next, ticks)))
    }

    /// A figure with its unit.
    pub(crate) fn size(self, ticks: f64) -> String {
        if self.unit() == Unit::One {
            self.figure(ticks)
        } else {
            format!("{} {}", self.figure(ticks), self.unit_name())
        }
    }
}

/// A total that counts before the aim, as it is written: money in its unit, parts by their number.
fn total(next: Next, ticks: f64) -> f64 {
    if next == Next::Price { number(ticks, Unit::Money) } else { ticks }
}

/// A total that counts before the aim, in words.
pub(crate) fn total_name(next: Next) -> &'static str {
    match next {
        Next::Price => "what is spent",
        Next::Bought => "pieces to buy",
        Next::Moves | Next::Spread(_) => "moves",
    }
}

/// A total that counts before the aim, or a mean of such.
pub(crate) fn total_text(next: Next, ticks: f64) -> String {
    let decimals = if next == Next::Price { 2 } else { 1 };
    format!("{:.decimals$}", total(next, ticks))
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
        before: view.before.iter().zip(&step.before).map(|(&next, gained)| before_step(next, gained)).collect(),
        fillable: step.fillable,
        helps: step.helps,
        unproven: step.unproven,
    };
    let of_leading = |ticks: f64| view.before.first().map_or_else(|| of(ticks), |&next| total(next, ticks));
    let to_reach = |needs: &Needs| ToReach {
        value: of_leading(needs.wanted),
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
        before: view
            .before
            .iter()
            .enumerate()
            .map(|(at, &next)| counts_before(next, outlook.before.get(at).copied()))
            .collect(),
        further_price: view.gathered.price.map(|ticks| number(ticks as f64, Unit::Money)),
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

fn before_step(next: Next, gained: &Gained) -> BeforeStep {
    let of = |ticks: f64| total(next, ticks);
    let interval = |one: Interval| Outlying { value: of(one.value), low: of(one.low), high: of(one.high) };
    BeforeStep { value: interval(gained.value), gain: gained.gain.map(interval) }
}

fn counts_before(next: Next, now: Option<f64>) -> CountsBefore {
    let what = match next {
        Next::Price => BeforeWord::Price,
        Next::Bought => BeforeWord::Bought,
        Next::Moves | Next::Spread(_) => BeforeWord::Moves,
    };
    CountsBefore { what, now: now.map(|now| total(next, now)) }
}
