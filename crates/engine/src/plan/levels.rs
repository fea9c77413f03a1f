//! The criteria of a joint choice, valued wherever two parts can meet.

use pairwright_assign::{Couple, JointAim, Slot};
use pairwright_proof::{Measure, Sense};

use super::criteria::{Criterion, criteria};
use super::joint::Joint;
use super::layer::Layer;
use super::result;
use super::setting::Setting;
use crate::job::FitName;
use crate::quantity::Amount;

/// Beyond every value of a fit, and inside what the solver calculates with.
pub(super) const FAR: i64 = 1 << 41;

/// One criterion.
#[derive(Debug)]
pub(super) struct Level {
    /// As the solver takes it: less is better.
    pub(super) aim: JointAim,
    worth: Worth,
    /// The solver's values are turned about, or counted from afar.
    counted: Counted,
}

/// What the criterion is about.
#[derive(Debug)]
enum Worth {
    /// The aim's fit.
    Aim,
    /// Another fit, for every way to dress a bank and every position, firsts × seconds.
    Fit(Vec<Vec<Option<i64>>>),
    /// A sum of what the parts add, position by position, and of what the setting adds.
    Sum { parts: [Vec<Vec<i64>>; 2], settings: Vec<i64> },
}

/// How a value of the criterion becomes one of the solver's.
#[derive(Clone, Copy, Debug)]
enum Counted {
    AsItIs,
    Turned,
    Below(i64),
    Above(i64),
}

impl Level {
    /// All criteria of a question, in order.
    pub(super) fn all(joint: &Joint<'_>) -> Vec<Self> {
        criteria(joint.question).into_iter().map(|criterion| Self::of(joint, criterion)).collect()
    }

    /// The total price, least first.
    pub(super) fn price(joint: &Joint<'_>) -> Self {
        Self::of(joint, Criterion { layer: Layer::Price, measure: Measure::Total, sense: Sense::Least })
    }

    fn of(joint: &Joint<'_>, criterion: Criterion) -> Self {
        let (aim, counted) = match criterion.measure {
            Measure::Spread => (JointAim::Spread, Counted::AsItIs),
            Measure::SquaresAboutMean => (JointAim::SquaresAboutMean, Counted::AsItIs),
            Measure::SquaresFrom { target } => (JointAim::SquaresFrom { target }, Counted::AsItIs),
            Measure::WorstFrom { target } => (JointAim::WorstFrom { target }, Counted::AsItIs),
            Measure::Least => (JointAim::WorstFrom { target: FAR }, Counted::Below(FAR)),
            Measure::Greatest => (JointAim::WorstFrom { target: -FAR }, Counted::Above(FAR)),
            Measure::Total if joint.meetings.turned && criterion.layer == Layer::Aim => {
                (JointAim::Total, Counted::Turned)
            }
            Measure::Total => (JointAim::Total, Counted::AsItIs),
        };
        let worth = match criterion.layer {
            Layer::Aim => Worth::Aim,
            Layer::Fit(fit) => Worth::Fit(of_fit(joint, fit)),
            Layer::Moves => moves(joint),
            Layer::Price => prices(joint),
            Layer::Bought => bought(joint),
        };
        Self { aim, worth, counted }
    }

    /// The solver's value of two parts in a position under a setting.
    pub(super) fn value(&self, joint: &Joint<'_>, setting: usize, slot: Slot, items: Couple) -> Option<i64> {
        let place = joint.meetings.place(setting, slot, items)?;
        match &self.worth {
            Worth::Aim => joint.meetings.value(place),
            Worth::Fit(cells) => *cells.get(place.0)?.get(place.1)?,
            Worth::Sum { parts: [first, second], settings } => {
                let own = if slot.index() == 0 { *settings.get(setting)? } else { 0 };
                let first = first.get(slot.index())?.get(items.first.index())?;
                Some(own + first + second.get(slot.index())?.get(items.second.index())?)
            }
        }
    }

    /// What a setting adds to a sum, and what every part of either role does; `None` where a part does not add the same in
    /// every position.
    pub(super) fn of_parts(&self, setting: usize) -> Option<(i64, [&[i64]; 2])> {
        let Worth::Sum { parts, settings } = &self.worth else { return None };
        let alike = |positions: &'_ [Vec<i64>]| positions.windows(2).all(|two| two[0] == two[1]);
        let [first, second] = parts;
        let is_of_parts = alike(first) && alike(second);
        let own = (first.first()?.as_slice(), second.first()?.as_slice());
        is_of_parts.then_some((*settings.get(setting)?, [own.0, own.1]))
    }

    /// What the criterion calls a value of the solver's.
    pub(super) fn plain(&self, value: i128) -> i128 {
        match self.counted {
            Counted::AsItIs => value,
            Counted::Turned => -value,
            Counted::Below(from) => i128::from(from) - value,
            Counted::Above(from) => value - i128::from(from),
        }
    }

    /// What the solver calls a value of the criterion.
    pub(super) fn searched(&self, value: i128) -> i128 {
        match self.counted {
            Counted::AsItIs => value,
            Counted::Turned => -value,
            Counted::Below(from) => i128::from(from) - value,
            Counted::Above(from) => value + i128::from(from),
        }
    }
}

/// The values of a fit wherever two parts can meet.
fn of_fit(joint: &Joint<'_>, name: FitName) -> Vec<Vec<Option<i64>>> {
    let (question, [firsts, seconds]) = (joint.question, joint.shape);
    let positions = question.positions.len();
    let mut cells = vec![Vec::new(); joint.meetings.cells.len()];
    let Some(fit) = question.fit(name) else { return cells };
    for (setting, ways) in joint.settings.iter().zip(&joint.meetings.ways) {
        for position in 0..positions {
            let Some(way) = ways.get(question.bank(position)) else { continue };
            let cell = &mut cells[way * positions + position];
            if cell.is_empty() {
                let value = |at: usize| {
                    let seat = question.seat(position, setting, Some(at % seconds));
                    fit.value(seat.with(question.first_role(), at / seconds))
                };
                cell.extend((0..firsts * seconds).map(value));
            }
        }
    }
    cells
}

/// 1 for every part that has to be carried, those of the setting included.
fn moves(joint: &Joint<'_>) -> Worth {
    let question = joint.question;
    let of_role = |role: usize, counts: bool| -> Vec<Vec<i64>> {
        let parts = &question.stocks[role].parts;
        let moved = |position: usize| {
            parts.iter().map(|part| i64::from(counts && question.stands(part) != Some(position))).collect()
        };
        (0..question.positions.len()).map(moved).collect()
    };
    let second = question.second_role().unwrap_or(0);
    let parts = [of_role(question.first_role(), true), of_role(second, result::is_known_to_stand(question, second))];
    let settings = joint.settings.iter().map(|setting| result::served_moves(question, setting));
    Worth::Sum { parts, settings: settings.map(|moves| i64::try_from(moves).unwrap_or(i64::MAX)).collect() }
}

fn prices(joint: &Joint<'_>) -> Worth {
    let question = joint.question;
    let of_role = |role: usize| -> Vec<Vec<i64>> {
        let stock = question.stocks[role];
        let price = |part| stock.columns.value("price", part).map_or(0, Amount::ticks);
        vec![(0..stock.parts.len()).map(price).collect(); question.positions.len()]
    };
    let parts = [of_role(question.first_role()), of_role(question.second_role().unwrap_or(0))];
    let price = |setting: &Setting| super::spending::setting_price(question, setting);
    Worth::Sum { parts, settings: joint.settings.iter().map(price).collect() }
}

/// 1 for every part that has a price, those of the setting included.
fn bought(joint: &Joint<'_>) -> Worth {
    let question = joint.question;
    let of_role = |role: usize| -> Vec<Vec<i64>> {
        let stock = question.stocks[role];
        let has_price = |part| i64::from(stock.columns.value("price", part).is_some());
        vec![(0..stock.parts.len()).map(has_price).collect(); question.positions.len()]
    };
    let parts = [of_role(question.first_role()), of_role(question.second_role().unwrap_or(0))];
    let bought = |setting: &Setting| super::spending::setting_bought(question, setting);
    Worth::Sum { parts, settings: joint.settings.iter().map(bought).collect() }
}
