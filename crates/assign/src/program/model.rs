//! The 0/1 model: x of a pair is 1 if the pair is chosen.
//!
//! Values are counted from the least of their table, so that the backend sees small numbers.

use crate::grid::Grid;
use crate::sides::SidedProblem;
use good_lp::{
    Expression, ProblemVariables, ResolutionError, Solution as _, SolutionStatus, SolverModel, Variable, constraint,
    microlp, solvers::WithTimeLimit, variable, variables,
};
use pairwright_proof::{Criterion, Item, Measure, Sense, Slot, Table};
use std::time::Duration;

/// What the backend said, and the items of its choice where it gave one.
pub(super) struct Answer {
    pub(super) choice: Vec<Item>,
    pub(super) is_stopped: bool,
}

/// One variable a pair that is left, slot after slot.
struct Pairs {
    rows: Vec<Vec<(Item, Variable)>>,
}

impl Pairs {
    fn new(model: &mut ProblemVariables, grid: &Grid) -> Self {
        let mut row = |slot| grid.items_of(slot).map(|item| (item, model.add(variable().binary()))).collect();
        Self { rows: grid.slots().map(&mut row).collect() }
    }

    /// Σ over a slot's pairs of `value` · x.
    fn row(&self, slot: Slot, value: impl Fn(Item) -> f64) -> Expression {
        self.rows[slot.index()].iter().map(|&(item, pair)| value(item) * pair).sum()
    }

    /// Whether an item is used: 0 or 1.
    fn used(&self, item: Item) -> Expression {
        self.rows.iter().flatten().filter(|&&(of, _)| of == item).map(|&(_, pair)| pair).sum()
    }

    fn sum(&self, value: impl Fn(Slot, Item) -> f64) -> Expression {
        let slots = (0..).map(Slot::new).zip(&self.rows);
        slots
            .flat_map(|(slot, row)| row.iter().map(move |&(item, pair)| (slot, item, pair)))
            .map(|(slot, item, pair)| value(slot, item) * pair)
            .sum()
    }
}

/// A table's values counted from the least of the pairs left.
struct Shifted<'t> {
    table: &'t Table,
    from: i64,
    /// The greatest of them.
    range: f64,
}

impl<'t> Shifted<'t> {
    fn of(table: &'t Table, grid: &Grid) -> Self {
        let values = || grid.pairs().filter_map(|(slot, item)| table.get(slot, item));
        let from = values().min().unwrap_or(0);
        Self { table, from, range: (values().max().unwrap_or(from) - from) as f64 }
    }

    fn at(&self, slot: Slot, item: Item) -> f64 {
        (self.table.row(slot)[item.index()] - self.from) as f64
    }

    fn number(&self, value: i128) -> f64 {
        (value - i128::from(self.from)) as f64
    }
}

/// Whether a criterion can be put into a 0/1 model.
pub(super) fn is_linear(criterion: &Criterion<'_>) -> bool {
    match criterion.measure {
        Measure::Total | Measure::SquaresFrom { .. } => true,
        Measure::Least => criterion.sense == Sense::Most,
        Measure::Spread | Measure::Greatest | Measure::WorstFrom { .. } => criterion.sense == Sense::Least,
        Measure::SquaresAboutMean => false,
    }
}

/// Builds the model over the pairs of `grid` and asks the backend.
pub(super) fn ask(
    sided: &SidedProblem<'_>,
    criterion: &Criterion<'_>,
    grid: &Grid,
    time: Option<Duration>,
) -> Result<Answer, ResolutionError> {
    variables! { model: }
    let pairs = Pairs::new(&mut model, grid);
    let range = range(criterion, grid);
    let [low, high] = [(); 2].map(|()| model.add(variable().min(0).max(range)));
    let mut end = |table| model.add(variable().min(0).max(Shifted::of(table, grid).range));
    let ends: Vec<Variable> = sided.problem().windows().iter().map(|window| end(window.table)).collect();
    let objective = objective(criterion, grid, &pairs, low, high);
    let mut model = model.minimise(objective).using(microlp);
    if let Some(time) = time {
        model = model.with_time_limit(time.as_secs_f64());
    }
    let mut rows = Vec::new();
    add_assignment(&mut rows, sided, &pairs, grid);
    add_objective(&mut rows, criterion, grid, &pairs, low, high);
    for (window, end) in sided.problem().windows().iter().zip(ends) {
        let values = Shifted::of(window.table, grid);
        for slot in grid.slots() {
            let value = pairs.row(slot, |item| values.at(slot, item));
            rows.push(constraint!(value.clone() >= end));
            rows.push(constraint!(value <= end + window.width as f64));
        }
    }
    add_sides(&mut rows, sided, &pairs, grid);
    for row in rows {
        model.add_constraint(row);
    }
    let solution = model.solve()?;
    let chosen =
        |row: &Vec<(Item, Variable)>| row.iter().find(|&&(_, pair)| solution.value(pair) > 0.5).map(|&(item, _)| item);
    let choice: Option<Vec<Item>> = pairs.rows.iter().map(chosen).collect();
    let is_stopped = !matches!(solution.status(), SolutionStatus::Optimal);
    Ok(Answer { choice: choice.unwrap_or_default(), is_stopped })
}

/// The largest number that the ends of the criterion's values can need.
fn range(criterion: &Criterion<'_>, grid: &Grid) -> f64 {
    let values = Shifted::of(criterion.table, grid);
    match criterion.measure {
        Measure::WorstFrom { target } => values.range + values.number(target.into()).abs(),
        _ => values.range,
    }
}

fn objective(criterion: &Criterion<'_>, grid: &Grid, pairs: &Pairs, low: Variable, high: Variable) -> Expression {
    let values = Shifted::of(criterion.table, grid);
    match criterion.measure {
        Measure::Total | Measure::SquaresFrom { .. } => {
            let sign = if criterion.sense == Sense::Least { 1.0 } else { -1.0 };
            let away = |slot: Slot, item: Item| match criterion.measure {
                Measure::SquaresFrom { target } => (criterion.table.row(slot)[item.index()] - target) as f64,
                _ => values.at(slot, item),
            };
            let is_squared = criterion.measure != Measure::Total;
            pairs.sum(|slot, item| {
                let away = away(slot, item);
                sign * if is_squared { away * away } else { away }
            })
        }
        Measure::Spread => high - low,
        Measure::Least => -1.0 * low,
        _ => Expression::from(high),
    }
}

/// The ends of the values of all slots, as far as the criterion is about them.
fn add_objective(
    rows: &mut Vec<good_lp::Constraint>,
    criterion: &Criterion<'_>,
    grid: &Grid,
    pairs: &Pairs,
    low: Variable,
    high: Variable,
) {
    let values = Shifted::of(criterion.table, grid);
    for slot in grid.slots() {
        let value = || pairs.row(slot, |item| values.at(slot, item));
        match criterion.measure {
            Measure::Spread => {
                rows.push(constraint!(value() >= low));
                rows.push(constraint!(value() <= high));
            }
            Measure::Greatest => rows.push(constraint!(value() <= high)),
            Measure::Least => rows.push(constraint!(value() >= low)),
            Measure::WorstFrom { target } => {
                let target = values.number(target.into());
                rows.push(constraint!(value() - target <= high));
                rows.push(constraint!(target - value() <= high));
            }
            _ => {}
        }
    }
}

/// One item a slot, an item at most once, a compulsory one exactly once.
fn add_assignment(rows: &mut Vec<good_lp::Constraint>, sided: &SidedProblem<'_>, pairs: &Pairs, grid: &Grid) {
    for slot in grid.slots() {
        rows.push(constraint!(pairs.row(slot, |_| 1.0) == 1));
    }
    let mut times = vec![0; grid.item_count()];
    grid.pairs().for_each(|(_, item)| times[item.index()] += 1);
    for (item, _) in (0..).map(Item::new).zip(&times).filter(|&(_, &times)| times > 1) {
        rows.push(constraint!(pairs.used(item) <= 1));
    }
    for &item in &sided.problem().changes().brought_in {
        rows.push(constraint!(pairs.used(item) == 1));
    }
}

fn add_sides(rows: &mut Vec<good_lp::Constraint>, sided: &SidedProblem<'_>, pairs: &Pairs, grid: &Grid) {
    let sides = sided.sides();
    for limit in &sides.neighbours {
        let values = Shifted::of(limit.table, grid);
        let value = |slot: Slot| pairs.row(slot, |item| values.at(slot, item));
        rows.push(constraint!(value(limit.one) - value(limit.other) <= limit.most as f64));
        rows.push(constraint!(value(limit.other) - value(limit.one) <= limit.most as f64));
    }
    for limit in &sides.totals {
        let total = || pairs.sum(|slot, item| limit.table.row(slot)[item.index()] as f64);
        rows.extend(limit.most.map(|most| constraint!(total() <= most as f64)));
        rows.extend(limit.least.map(|least| constraint!(total() >= least as f64)));
    }
    for set in &sides.together {
        for two in set.windows(2) {
            rows.push(constraint!(pairs.used(two[0]) - pairs.used(two[1]) == 0));
        }
    }
    for pair in &sides.along {
        rows.push(constraint!(pairs.used(pair.item) - pairs.used(pair.with) <= 0));
    }
    for set in &sides.exclusive {
        let mut set = set.clone();
        set.sort_unstable();
        set.dedup();
        let used: Expression = set.iter().map(|&item| pairs.used(item)).sum();
        rows.push(constraint!(used <= 1));
    }
}
