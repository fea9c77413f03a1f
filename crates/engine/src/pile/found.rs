//! What a choice from a pile comes to.

use std::cmp::Ordering;

use super::Sought;

/// The totals that count before the aim, in their order, and the aim's own value in ticks.
#[derive(Clone, Debug, PartialEq)]
pub struct Worth {
    /// Totals of price, moves or pieces bought: the less the better, each among those that are best by the ones before.
    pub before: Vec<f64>,
    /// The aim's value among those.
    pub aim: f64,
}

/// The best choice, as far as it is known.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Found {
    /// `None` where no choice holds the limits, or none was met.
    pub(super) worth: Option<Worth>,
    /// Nothing better exists; without a worth: nothing exists at all.
    pub(super) is_proven: bool,
}

impl Worth {
    /// What counts first: the first of the totals before the aim, else the aim.
    pub fn leading(&self) -> f64 {
        self.before.first().copied().unwrap_or(self.aim)
    }

    /// By how much each total before the aim is less than in `now`, then how much better the aim is. What comes after something that got
    /// better may get worse.
    pub(super) fn gains(&self, now: &Self, sought: Sought) -> Vec<f64> {
        let before = now.before.iter().zip(&self.before).map(|(now, then)| now - then);
        before.chain([sought.gain(now.aim, self.aim)]).collect()
    }

    /// Whether it is better than `now` by the first criterion in which they differ.
    pub(super) fn betters(&self, now: &Self, sought: Sought) -> bool {
        let first = self.gains(now, sought).into_iter().find(|gain| *gain != 0.0);
        first.is_some_and(|gain| gain.total_cmp(&0.0) == Ordering::Greater)
    }
}

impl Found {
    /// No choice at all.
    pub(super) const NOTHING: Self = Self { worth: None, is_proven: true };

    /// A proven choice of which only the aim counts.
    pub(super) const fn proven(aim: f64) -> Self {
        Self { worth: Some(Worth { before: Vec::new(), aim }), is_proven: true }
    }

    /// The aim's value.
    pub(super) fn aim(&self) -> Option<f64> {
        self.worth.as_ref().map(|worth| worth.aim)
    }
}
