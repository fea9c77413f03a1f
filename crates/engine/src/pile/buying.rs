//! What counts before the aim, and what may be spent.

use crate::job::{Next, Stock};
use crate::plan::Frame;
use crate::quantity::Amount;
use crate::readings::{PartId, PositionId};

/// Prices, moves and pieces of a stock and of what is gathered.
#[derive(Clone, Debug, Default)]
pub(super) struct Bought {
    /// What counts before the aim, in order.
    pub(super) before: Vec<Next>,
    /// The greatest total price, in ticks of money.
    pub(super) spend: Option<i64>,
    /// What a further part costs where it is used; `None`: it is nothing that is bought.
    further: Option<i64>,
    /// The prices of the stock's parts.
    prices: Vec<Option<i64>>,
    /// The position in which each of the stock's parts stands now.
    stands: Vec<Option<usize>>,
}

impl Bought {
    /// What a match says of money and moves, for these parts of its stock.
    pub(super) fn of(frame: &Frame<'_>, parts: &[usize], further: Option<i64>) -> Self {
        let (question, stock): (_, &Stock) = (frame.question, frame.stock());
        let buying = &question.matching.buying;
        let price = |&part: &usize| stock.columns.value("price", part).map(Amount::ticks);
        Self {
            before: buying.first.clone(),
            spend: buying.spend.map(Amount::ticks),
            further,
            prices: parts.iter().map(price).collect(),
            stands: parts.iter().map(|&part| question.stands(&stock.parts[part])).collect(),
        }
    }

    /// Whether parts are told apart by nothing but their values.
    pub(super) fn is_nothing(&self) -> bool {
        self.before.is_empty() && self.spend.is_none()
    }

    /// What a part adds to a total that counts before the aim; `None` stands for a further part, which stands nowhere yet.
    pub(super) fn adds(&self, criterion: usize, position: PositionId, part: Option<PartId>) -> i64 {
        match self.before.get(criterion) {
            Some(Next::Price) => self.price(part),
            Some(Next::Bought) => i64::from(self.own(part).is_some()),
            Some(Next::Moves) => {
                let stands = part.and_then(|part| self.stands.get(part.index()).copied().flatten());
                i64::from(stands != Some(position.index()))
            }
            Some(Next::Spread(_)) | None => 0,
        }
    }

    /// The price of a part; one without a price costs nothing.
    pub(super) fn price(&self, part: Option<PartId>) -> i64 {
        self.own(part).unwrap_or(0)
    }

    fn own(&self, part: Option<PartId>) -> Option<i64> {
        match part {
            Some(part) => self.prices.get(part.index()).copied().flatten(),
            None => self.further,
        }
    }
}
