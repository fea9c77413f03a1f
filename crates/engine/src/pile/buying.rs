//! What counts before the aim, and what may be spent.

use crate::job::Next;
use crate::plan::{Frame, Question, Setting, is_known_to_stand};
use crate::quantity::Amount;
use crate::readings::{PartId, PositionId};

/// Prices, moves and pieces of a stock and of what is gathered.
#[derive(Clone, Debug, Default)]
pub(super) struct Bought {
    /// What counts before the aim, in order.
    pub(super) before: Vec<Next>,
    /// The greatest total price of what positions take, in ticks of money; below 0 where heads and gaskets cost too much already.
    pub(super) spend: Option<i64>,
    /// What a further part costs where it is used; `None`: it is nothing that is bought.
    pub(super) further: Option<i64>,
    /// The stock that grows.
    pub(super) own: Shelf,
    /// The parts of the other kind, where positions take one of that, too.
    pub(super) other: Shelf,
    /// What heads and gaskets add to each total before the aim.
    pub(super) set: Vec<i64>,
}

/// Prices and places of the parts of a kind.
#[derive(Clone, Debug, Default)]
pub(super) struct Shelf {
    pub(super) prices: Vec<Option<i64>>,
    /// The position in which each part stands now.
    pub(super) stands: Vec<Option<usize>>,
    /// Parts of the kind are counted where they move.
    pub(super) moves: bool,
}

impl Shelf {
    fn of(question: &Question<'_>, role: usize, parts: &[usize]) -> Self {
        let stock = question.stocks[role];
        let price = |&part: &usize| stock.columns.value("price", part).map(Amount::ticks);
        Self {
            prices: parts.iter().map(price).collect(),
            stands: parts.iter().map(|&part| question.stands(&stock.parts[part])).collect(),
            moves: role == question.first_role() || is_known_to_stand(question, role),
        }
    }

    fn price(&self, part: usize) -> Option<i64> {
        self.prices.get(part).copied().flatten()
    }

    /// What a part with this price that stands here now adds to a total at a position.
    fn adds(&self, next: Option<&Next>, position: usize, (price, stands): (Option<i64>, Option<usize>)) -> i64 {
        match next {
            Some(Next::Price) => price.unwrap_or(0),
            Some(Next::Bought) => i64::from(price.is_some()),
            Some(Next::Moves) => i64::from(self.moves && stands != Some(position)),
            Some(Next::Spread(_)) | None => 0,
        }
    }
}

impl Bought {
    /// What a match says of money and moves, for these parts of the role that grows under a setting of heads and gaskets.
    pub(super) fn of(
        question: &Question<'_>,
        setting: &Setting,
        (role, parts): (usize, &[usize]),
        further: Option<i64>,
    ) -> Self {
        let buying = &question.matching.buying;
        let set = Frame::new(question, setting.clone(), Vec::new());
        Self {
            before: buying.first.clone(),
            spend: buying.spend.map(|most| most.ticks().saturating_sub(set.adds_to(Next::Price))),
            further,
            own: Shelf::of(question, role, parts),
            other: Shelf::default(),
            set: buying.first.iter().map(|&next| set.adds_to(next)).collect(),
        }
    }

    /// The same where positions take one of these parts of another role, too.
    pub(super) fn beside(self, question: &Question<'_>, role: usize, parts: &[usize]) -> Self {
        Self { other: Shelf::of(question, role, parts), ..self }
    }

    /// Whether parts are told apart by nothing but their values.
    pub(super) fn is_nothing(&self) -> bool {
        self.before.is_empty() && self.spend.is_none()
    }

    /// What a part adds to a total that counts before the aim; `None` stands for a further part, which stands nowhere yet. Heads
    /// and gaskets are counted at the first position, which takes one part like any other.
    pub(super) fn adds(&self, criterion: usize, position: PositionId, part: Option<PartId>) -> i64 {
        let set = if position.index() == 0 { self.set.get(criterion).copied().unwrap_or(0) } else { 0 };
        let stands = part.and_then(|part| self.own.stands.get(part.index()).copied().flatten());
        set + self.own.adds(self.before.get(criterion), position.index(), (self.price_of(part), stands))
    }

    /// The same of a part of the other kind.
    pub(super) fn other_adds(&self, criterion: usize, position: PositionId, other: usize) -> i64 {
        let stands = self.other.stands.get(other).copied().flatten();
        self.other.adds(self.before.get(criterion), position.index(), (self.other.price(other), stands))
    }

    /// The price of a part; one without a price costs nothing.
    pub(super) fn price(&self, part: Option<PartId>) -> i64 {
        self.price_of(part).unwrap_or(0)
    }

    /// The same of a part of the other kind.
    pub(super) fn other_price(&self, other: usize) -> i64 {
        self.other.price(other).unwrap_or(0)
    }

    fn price_of(&self, part: Option<PartId>) -> Option<i64> {
        part.map_or(self.further, |part| self.own.price(part.index()))
    }
}
