//! The tables a question needs, named before they are laid out.

use super::admission::Relaxed;
use super::frame::Frame;
use crate::job::FitName;
use crate::quantity::Amount;
use crate::reduction::Pair;

/// What one table holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Layer {
    /// The aim's fit; forbids every pair that may not be chosen.
    Aim,
    /// Another fit, for its spread.
    Fit(FitName),
    /// 1 for a part that has to be carried, 0 for one that stands there already.
    Moves,
    /// The price of the part; a part without one costs nothing.
    Price,
    /// 1 for a part that has a price, 0 for one that is there already.
    Bought,
}

impl Layer {
    /// The value of a pair in this table, in ticks; `None` forbids the pair.
    pub(crate) fn value(self, frame: &Frame<'_>, relaxed: Relaxed, pair: Pair) -> Option<i64> {
        match self {
            Self::Aim => frame.admitted(pair, relaxed),
            Self::Fit(name) => frame.fit(name)?.value(pair),
            Self::Moves => {
                Some(i64::from(frame.question.stands(&frame.stock().parts[pair.part]) != Some(pair.position)))
            }
            Self::Price => Some(price(frame, pair).map_or(0, Amount::ticks)),
            Self::Bought => Some(i64::from(price(frame, pair).is_some())),
        }
    }
}

fn price(frame: &Frame<'_>, pair: Pair) -> Option<Amount> {
    frame.stock().columns.value("price", pair.part)
}
