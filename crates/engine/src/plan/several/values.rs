//! What bundles are worth by every criterion.

use pairwright_proof::{Bundles, Choice, Item, Shape, Slot, Table, evaluate};

use super::super::choose::{Chosen, PlanError};
use super::super::criteria::{Criterion, criteria};
use super::super::layer::Layer;
use super::super::tables::Rank;
use super::bundles::Several;
use crate::quantity::Amount;

impl Several<'_> {
    /// The criteria, in order.
    pub(super) fn criteria(&self) -> Vec<Criterion> {
        criteria(self.question)
    }

    /// Where the aim stands among the criteria.
    pub(super) fn aim_at(&self) -> usize {
        self.question.matching.buying.first.len()
    }

    /// The value of a bundle in a layer, in ticks, where it may stand at all.
    pub(super) fn layer_value(&self, layer: Layer, slot: Slot, items: &[Item]) -> Option<i64> {
        let stock = self.question.stocks[self.question.first_role()];
        let parts = || items.iter().filter_map(|item| self.parts.get(item.index()).copied());
        let price = |part: usize| stock.columns.value("price", part);
        Some(match layer {
            Layer::Aim => return self.value(slot, items),
            Layer::Fit(name) => return self.question.fit(name)?.value(self.seat(slot.index(), items)?),
            Layer::Moves => {
                let moves = |&part: &usize| self.question.stands(&stock.parts[part]) != Some(slot.index());
                i64::try_from(parts().filter(moves).count()).unwrap_or(i64::MAX)
            }
            Layer::Price => parts().filter_map(price).map(Amount::ticks).sum(),
            Layer::Bought => i64::try_from(parts().filter_map(price).count()).unwrap_or(i64::MAX),
        })
    }

    /// The values of a layer, position after position; `None` where some bundle has none.
    pub(super) fn layer_values(&self, layer: Layer, bundles: &Bundles) -> Option<Vec<i64>> {
        let all = (0..).map(Slot::new).zip(&bundles.0);
        all.map(|(slot, items)| self.layer_value(layer, slot, items)).collect()
    }

    /// The values of all criteria, in order.
    pub(super) fn worths(&self, bundles: &Bundles) -> Result<Vec<i128>, PlanError> {
        let worth = |criterion: &Criterion| {
            let values = self.layer_values(criterion.layer, bundles);
            worth_of(values.as_deref(), self.pile.slots, *criterion)
        };
        self.criteria().iter().map(worth).collect()
    }

    /// A choice of these bundles with the values of all criteria, and what orders choices: less is better.
    pub(super) fn chosen(&self, bundles: &Bundles) -> Result<(Vec<i128>, Chosen), PlanError> {
        let mut chosen = self.bare(bundles);
        chosen.values = self.worths(bundles)?;
        let given = self.question.matching.aim.slack.map(|_| self.aim_at());
        let criteria = self.criteria();
        let losses = criteria.iter().zip(&chosen.values).map(|(criterion, &value)| loss(*criterion, value));
        let key = losses.enumerate().filter(|(at, _)| Some(*at) != given).map(|(_, loss)| loss).collect();
        Ok((key, chosen))
    }

    /// The same without its values.
    pub(super) fn bare(&self, bundles: &Bundles) -> Chosen {
        let (parts, seconds) = self.apart(bundles);
        Chosen { parts, seconds, setting: 0, values: Vec::new(), stopped: None, exact: 0, is_first: false }
    }
}

/// The value turned so that less is better.
pub(super) fn loss(criterion: Criterion, value: i128) -> i128 {
    Rank { table: 0, measure: criterion.measure, sense: criterion.sense, slack: 0 }.loss(value)
}

/// The measure of values in position order, as the checker measures them.
pub(super) fn worth_of(values: Option<&[i64]>, slots: usize, criterion: Criterion) -> Result<i128, PlanError> {
    let table = Table::from_fn(Shape { slots, items: slots }, |slot, item| {
        values.filter(|_| slot.index() == item.index()).and_then(|values| values.get(slot.index()).copied())
    })?;
    let choice = Choice::new((0..).map(Item::new).take(slots).collect());
    Ok(evaluate(criterion.measure, &table, &choice)?)
}
