//! What a plan costs, and what may be spent on it.

use pairwright_proof::{Measure, TotalLimit, check_sided, evaluate};

use super::choose::{Answer, PlanError};
use super::frame::Frame;
use super::layer::Layer;
use super::question::Question;
use super::search::Layout;
use super::setting::Setting;
use super::tables::{Rank, Tables};
use crate::quantity::Amount;
use crate::reduction::Pair;

/// A limit on the total price.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Spend {
    /// The table of prices.
    pub(crate) table: usize,
    /// Greatest total of the parts that vary, in ticks of money: below 0 where those that stand beside them cost too much
    /// already.
    pub(crate) most: i64,
}

/// The price of a plan's parts of all roles, in ticks of money.
pub(crate) fn spent(frame: &Frame<'_>, parts: &[usize]) -> i64 {
    let pairs = parts.iter().enumerate().map(|(position, &part)| Pair { position, part });
    let own: i64 = pairs.filter_map(|pair| Layer::Price.value(frame, super::Relaxed::default(), pair)).sum();
    own + spent_beside(frame)
}

/// The price of all that does not vary in a frame, in ticks of money: heads, gaskets, and the parts of the other roles.
pub(super) fn spent_beside(frame: &Frame<'_>) -> i64 {
    let question = frame.question;
    let stock = question.second_role().map_or(frame.stock(), |role| question.stocks[role]);
    let price = |&part: &usize| stock.columns.value("price", part).map(Amount::ticks);
    setting_price(question, &frame.setting) + frame.seconds.iter().filter_map(price).sum::<i64>()
}

/// The price of the parts of a setting, in ticks of money; a gasket for the engine is bought once a bank.
pub(super) fn setting_price(question: &Question<'_>, setting: &Setting) -> i64 {
    let price = |role: usize, part| question.stocks[role].columns.value("price", part).map_or(0, Amount::ticks);
    setting.served.iter().map(|served| price(served.role, served.part) * question.pieces_of(served)).sum()
}

/// How many pieces of a setting have a price.
pub(super) fn setting_bought(question: &Question<'_>, setting: &Setting) -> i64 {
    let has_price = |role: usize, part| question.stocks[role].columns.value("price", part).is_some();
    let priced = setting.served.iter().filter(|served| has_price(served.role, served.part));
    priced.map(|served| question.pieces_of(served)).sum()
}

impl Tables {
    /// The limit on what is spent as the solver takes it.
    pub(super) fn totals(&self) -> Vec<TotalLimit<'_>> {
        let limit = |spend: Spend| TotalLimit {
            table: &self.of_ticks[spend.table],
            least: None,
            most: Some(spend.most.into()),
        };
        self.spend.map(limit).into_iter().collect()
    }

    /// Whether these parts, one a position, cost no more than may be spent.
    pub(super) fn can_pay_for(&self, parts: &[usize]) -> bool {
        self.spend.is_none_or(|spend| {
            let total = evaluate(Measure::Total, &self.of_ticks[spend.table], &self.choice(parts));
            total.is_ok_and(|total| total <= spend.most.into())
        })
    }

    /// Whether an answer that does not know of the limit on what is spent holds it; no choice at all does.
    pub(super) fn is_within_means(&self, answer: &Answer) -> bool {
        match answer {
            Answer::Chosen(chosen) => self.can_pay_for(&chosen.parts),
            Answer::Short(_) => true,
            Answer::Undecided => self.spend.is_none(),
        }
    }

    /// The least total price of any plan within the limits, what may be spent aside; `None` where there is no plan, or
    /// none was found.
    pub(super) fn cheapest(&self) -> Result<Option<i128>, PlanError> {
        let Some(tables) = self.by_price() else { return Ok(None) };
        let chosen = tables.answer(&tables.problem()?)?.chosen();
        Ok(chosen.filter(|chosen| chosen.stopped.is_none()).map(|chosen| chosen.values[0]))
    }

    /// The same tables with the total price as the first criterion, what may be spent aside; `None` where nothing limits it.
    pub(super) fn by_price(&self) -> Option<Self> {
        let spend = self.spend?;
        // The aim's table stays in the problem through a second rank: it forbids what may not be chosen.
        let ranks = vec![Rank::least(spend.table, Measure::Total), Rank { slack: 0, ..*self.aim() }];
        Some(Self { ranks, before: 1, spend: None, ..self.clone() })
    }

    /// Whether there is any plan within the limits and what may be spent.
    pub(super) fn allow_any(&self) -> Result<bool, PlanError> {
        if let Some(spend) = self.spend {
            return Ok(self.cheapest()?.is_some_and(|least| least <= spend.most.into()));
        }
        let alone = self.aim_alone();
        Ok(matches!(alone.answer(&alone.problem()?)?, Answer::Chosen(_)))
    }

    /// Goes over a plan once more with all that stands beside the criteria.
    pub(super) fn check_means(&self, parts: &[usize], values: &[i128]) -> Result<(), PlanError> {
        if self.spend.is_some() {
            check_sided(&self.problem()?.statement(), &self.sides(), &self.choice(parts), values)?;
        }
        Ok(())
    }
}

impl Layout<'_> {
    /// What the cheapest plan within the limits costs, all roles together and in ticks of money, where there is one and it
    /// costs more than may be spent.
    pub(super) fn overspent(&self) -> Result<Option<i64>, PlanError> {
        let Some(spend) = self.tables.spend else { return Ok(None) };
        let least = self.tables.cheapest()?.and_then(|least| i64::try_from(least).ok());
        Ok(least.filter(|&least| least > spend.most).map(|least| least + spent_beside(&self.frame)))
    }
}
