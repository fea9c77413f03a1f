//! The tables that the solver sees, and the order of its criteria.

use pairwright_proof::{Item, Measure, Sense, Shape, Slot, Table, TableError};

use super::admission::Relaxed;
use super::question::Question;
use super::spread_band::widest_band;
use crate::fit::Pair;
use crate::job::{Aim, FitName, Goal, Measured, Next};
use crate::plan::LimitKind;

/// One criterion, naming its table by index.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Rank {
    pub(crate) table: usize,
    pub(crate) measure: Measure,
    pub(crate) sense: Sense,
    pub(crate) slack: i64,
}

/// A spread limit, naming its table by index.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Width {
    pub(crate) table: usize,
    /// Index of the limit.
    pub(crate) limit: usize,
    /// Widest spread that is held, in ticks; negative when the guard band alone is wider.
    pub(crate) ticks: i64,
}

/// Tables of ticks, positions × parts, with the criteria and spread limits over them.
///
/// The first table is the aim's fit and forbids every pair that may not be chosen; the others
/// carry values only.
#[derive(Clone, Debug)]
pub(crate) struct Tables {
    pub(crate) of_ticks: Vec<Table>,
    pub(crate) ranks: Vec<Rank>,
    pub(crate) widths: Vec<Width>,
}

impl Tables {
    /// Lays out the tables of a question, the limits relaxed as `relaxed` says.
    ///
    /// # Errors
    /// [`TableError`] for more positions or parts than the solver takes.
    pub(crate) fn new(question: &Question<'_>, relaxed: Relaxed) -> Result<Self, TableError> {
        let fit = question.aim_fit();
        let aim = table(question, |pair| question.admits(pair, relaxed).then(|| fit.value(pair)).flatten())?;
        let mut laid = Self { of_ticks: vec![aim], ranks: Vec::new(), widths: Vec::new() };
        laid.rank_aim(&question.matching.aim);
        laid.rank_the_rest(question)?;
        laid.limit_spreads(question, relaxed)?;
        Ok(laid)
    }

    fn rank_aim(&mut self, aim: &Aim) {
        let (measure, sense) = criterion(aim);
        // A slack on squares is a root mean square; it becomes ticks once the best squares are known.
        let slack = if aim.by == Measured::Squares { 0 } else { aim.slack.map_or(0, crate::quantity::Amount::ticks) };
        self.ranks.push(Rank { table: 0, measure, sense, slack });
    }

    /// What decides after the aim: `then`, else least spread, least squares, fewest moves.
    fn rank_the_rest(&mut self, question: &Question<'_>) -> Result<(), TableError> {
        let least = |table, measure| Rank { table, measure, sense: Sense::Least, slack: 0 };
        let Some(then) = &question.matching.then else {
            for measure in [Measure::Spread, Measure::SquaresAboutMean] {
                if self.ranks[0].measure != measure {
                    self.ranks.push(least(0, measure));
                }
            }
            if question.knows_where_parts_stand() {
                let moves = self.add(moves_table(question)?);
                self.ranks.push(least(moves, Measure::Total));
            }
            return Ok(());
        };
        for next in then {
            let rank = match *next {
                Next::Spread(fit) => least(self.fit_table(question, fit)?, Measure::Spread),
                Next::Moves => least(self.add(moves_table(question)?), Measure::Total),
                Next::Price => least(self.add(prices(question)?), Measure::Total),
            };
            self.ranks.push(rank);
        }
        Ok(())
    }

    fn limit_spreads(&mut self, question: &Question<'_>, relaxed: Relaxed) -> Result<(), TableError> {
        for (index, limit) in question.limits.iter().enumerate() {
            let (LimitKind::Spread, Some(bound)) = (limit.kind, limit.bound(0)) else { continue };
            let guarded = limit.guard && !relaxed.unguarded;
            let band = if guarded { widest_band(question, limit.fit) } else { 0 };
            let moved = relaxed.moved.filter(|(moved, _)| *moved == index).map_or(0, |(_, ticks)| ticks);
            let table = self.fit_table(question, limit.fit)?;
            self.widths.push(Width { table, limit: index, ticks: bound - band + moved });
        }
        Ok(())
    }

    /// The index of the table of `fit`, which is made if there is none yet.
    fn fit_table(&mut self, question: &Question<'_>, name: FitName) -> Result<usize, TableError> {
        if name == question.matching.aim.fit {
            return Ok(0);
        }
        let Some(fit) = question.fit(name) else { return Ok(0) };
        let made = table(question, |pair| fit.value(pair))?;
        Ok(self.add(made))
    }

    fn add(&mut self, table: Table) -> usize {
        if let Some(known) = self.of_ticks.iter().skip(1).position(|known| *known == table) {
            return known + 1;
        }
        self.of_ticks.push(table);
        self.of_ticks.len() - 1
    }
}

/// The measure that judges an aim.
fn criterion(aim: &Aim) -> (Measure, Sense) {
    match (aim.goal, aim.by) {
        (Goal::Even, Measured::Squares) => (Measure::SquaresAboutMean, Sense::Least),
        (Goal::Even, _) => (Measure::Spread, Sense::Least),
        (Goal::Near(target), Measured::Squares) => (Measure::SquaresFrom { target: target.ticks() }, Sense::Least),
        (Goal::Near(target), _) => (Measure::WorstFrom { target: target.ticks() }, Sense::Least),
        (Goal::Highest, Measured::Extreme) => (Measure::Least, Sense::Most),
        (Goal::Highest, _) => (Measure::Total, Sense::Most),
        (Goal::Lowest, Measured::Extreme) => (Measure::Greatest, Sense::Least),
        (Goal::Lowest, _) => (Measure::Total, Sense::Least),
    }
}

/// The table whose pairs are worth what `value` says.
pub(crate) fn table(question: &Question<'_>, value: impl Fn(Pair) -> Option<i64>) -> Result<Table, TableError> {
    let shape = Shape { slots: question.positions.len(), items: question.stock.parts.len() };
    Table::from_fn(shape, |slot, item| value(pair(slot, item)))
}

/// 1 for a part that has to be carried, 0 for one that stands there already.
pub(crate) fn moves_table(question: &Question<'_>) -> Result<Table, TableError> {
    table(question, |pair| Some(i64::from(question.stock.parts[pair.part].at != Some(pair.position))))
}

/// The price of the part; a part without one costs nothing.
fn prices(question: &Question<'_>) -> Result<Table, TableError> {
    let price = |part| question.stock.columns.value("price", part).map_or(0, crate::quantity::Amount::ticks);
    table(question, |pair| Some(price(pair.part)))
}

/// Slot and item as the solver counts them.
pub(crate) fn pair(slot: Slot, item: Item) -> Pair {
    Pair { position: slot.index(), part: item.index() }
}
