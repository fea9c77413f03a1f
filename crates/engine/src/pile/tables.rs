//! A choice from parts as the solver takes it: tables of whole ticks, solved and checked.

use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided};
use pairwright_assign::{
    Criterion, Item, Measure, Outcome, Problem, Sense, Shape, Slot, Solution, Table, Window, solve,
};
use pairwright_proof::{Neighbour, Sides, TotalLimit, check_choice, check_sided, evaluate};

use super::found::{Found, Worth};
use super::solve::{Choice, One, position, whole};
use super::{Fitting, PileError, Sought};
use crate::plan::PlanError;

/// The tables of some of the parts.
#[derive(Debug)]
pub(super) struct Tables<'f, F> {
    fit: &'f F,
    sought: Sought,
    aim: Table,
    /// The quantities of the widths, then those of neighbours.
    beside: Vec<Table>,
    /// What counts before the aim.
    before: Vec<Table>,
    prices: Option<Table>,
}

impl<'f, F: Fitting> Tables<'f, F> {
    /// Lays out the parts at these places, the aim's values being `value(slot, place)`.
    pub(super) fn new(
        fit: &'f F,
        parts: Choice<'_>,
        sought: Sought,
        places: &[usize],
        value: impl Fn(Slot, usize) -> Option<i64>,
    ) -> Result<Self, PileError> {
        let shape = Shape { slots: fit.positions(), items: places.len() };
        let one = |item: Item| parts.part(places[item.index()]);
        let beside = |width: usize| {
            Table::from_fn(shape, |slot, item| {
                whole(match one(item) {
                    One::InStock(part, numbers) => fit.beside_in_stock(width, position(slot), part, numbers),
                    One::Further(numbers) => fit.beside(width, position(slot), numbers),
                }?)
            })
        };
        let before = |criterion: usize| {
            Table::from_fn(shape, |slot, item| Some(fit.adds(criterion, position(slot), one(item).in_stock())))
        };
        let prices = fit.spend().map(|_| Table::from_fn(shape, |_, item| Some(fit.price(one(item).in_stock()))));
        Ok(Self {
            fit,
            sought,
            aim: Table::from_fn(shape, |slot, item| value(slot, places[item.index()]))?,
            beside: (0..fit.widths().len() + fit.apart().len()).map(beside).collect::<Result<_, _>>()?,
            before: (0..fit.before()).map(before).collect::<Result<_, _>>()?,
            prices: prices.transpose()?,
        })
    }

    /// The best choice by what counts before the aim, then by the aim, every limit held; the checker goes over it.
    pub(super) fn best(&self) -> Result<Found, PileError> {
        let problem = self.problem()?;
        if !self.fit.apart().is_empty() {
            return self.beside_others(&problem);
        }
        let (solution, is_proven) = match solve(&problem) {
            Outcome::Proven(solution) => (solution, true),
            Outcome::BestFound { solution, .. } => (solution, false),
            Outcome::Impossible(_) => return Ok(Found::NOTHING),
        };
        check_choice(&problem.statement(), &solution.choice, &solution.values)?;
        // Where the best choice of all costs no more than may be spent, there is no better one that does.
        if self.can_pay_for(&solution) { Ok(self.found(&solution, is_proven)) } else { self.beside_others(&problem) }
    }

    fn problem(&self) -> Result<Problem<'_>, PileError> {
        let total = |table| Criterion { table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
        let sought = self.sought;
        let aim = Criterion { table: &self.aim, measure: sought.measure(), sense: sought.sense(), slack: 0 };
        let windows = self.beside.iter().zip(self.fit.widths()).map(|(table, &width)| Window { table, width });
        Ok(Problem::new(self.before.iter().map(total).chain([aim]).collect(), windows.collect())?)
    }

    fn can_pay_for(&self, solution: &Solution) -> bool {
        let Some((most, prices)) = self.fit.spend().zip(self.prices.as_ref()) else { return true };
        evaluate(Measure::Total, prices, &solution.choice).is_ok_and(|total| total <= most.into())
    }

    /// The same with limits on neighbours and on what is spent.
    fn beside_others(&self, problem: &Problem<'_>) -> Result<Found, PileError> {
        let sides = self.sides();
        let sided = SidedProblem::new(problem.clone(), sides.clone()).map_err(PlanError::from)?;
        let (solution, is_proven) = match solve_sided(&sided) {
            SidedOutcome::Proven(solution) => (solution, true),
            SidedOutcome::BestFound { solution, .. } => (solution, false),
            SidedOutcome::Impossible(_) => return Ok(Found::NOTHING),
            SidedOutcome::Undecided { .. } => return Ok(Found { worth: None, is_proven: false }),
        };
        check_sided(&problem.statement(), &sides, &solution.choice, &solution.values)?;
        Ok(self.found(&solution, is_proven))
    }

    fn sides(&self) -> Sides<'_> {
        let slot =
            |position: crate::readings::PositionId| Slot::new(u32::try_from(position.index()).unwrap_or(u32::MAX));
        let apart = self.beside.iter().skip(self.fit.widths().len()).zip(self.fit.apart());
        let of_limit = |(table, &most)| {
            let pairs = self.fit.neighbours().iter();
            pairs.map(move |&(one, other)| Neighbour { one: slot(one), other: slot(other), table, most })
        };
        let spend = self.fit.spend().zip(self.prices.as_ref());
        let totals = spend.map(|(most, table)| TotalLimit { table, least: None, most: Some(most.into()) });
        Sides {
            neighbours: apart.flat_map(of_limit).collect(),
            totals: totals.into_iter().collect(),
            ..Sides::default()
        }
    }

    fn found(&self, solution: &Solution, is_proven: bool) -> Found {
        let (before, aim) = solution.values.split_at(self.before.len().min(solution.values.len()));
        let worth = aim.first().map(|&aim| Worth {
            before: before.iter().map(|&total| total as f64).collect(),
            aim: self.sought.in_ticks(aim, self.fit.positions()),
        });
        Found { worth, is_proven }
    }
}
