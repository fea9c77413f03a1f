//! The best that can be made of given parts.

use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided};
use pairwright_assign::{Criterion, Item, Measure, Outcome, Problem, Sense, Shape, Slot, Table, Window, solve};
use pairwright_proof::{Neighbour, Sides, check_choice, check_sided};

use super::{Fitting, Numbers, PileError, Sought};
use crate::plan::PlanError;
use crate::readings::{PartId, PositionId};

/// The parts to choose from: those of the stock, then further ones.
#[derive(Clone, Copy, Debug)]
pub(super) struct Choice<'p> {
    pub(super) stock: &'p Numbers,
    pub(super) further: &'p Numbers,
}

/// Whether a part is known or drawn.
enum One<'p> {
    InStock(PartId, &'p [f64]),
    Further(&'p [f64]),
}

impl<'p> Choice<'p> {
    fn len(self) -> usize {
        self.stock.len() + self.further.len()
    }

    fn part(self, item: Item) -> One<'p> {
        let index = item.index();
        match index.checked_sub(self.stock.len()) {
            None => One::InStock(PartId::new(item.number()), self.stock.part(index)),
            Some(further) => One::Further(self.further.part(further)),
        }
    }

    fn firsts(self) -> impl Iterator<Item = f64> {
        self.stock.parts().chain(self.further.parts()).filter_map(|part| part.first()).copied()
    }
}

/// The best value of what is sought, in ticks, each part used once; `None` where they do not fill the positions.
///
/// Solved exactly and checked; a total to which parts add the same everywhere takes the largest, or the smallest, parts.
pub(super) fn best<F: Fitting>(fit: &F, parts: Choice<'_>, sought: Sought) -> Result<Option<f64>, PileError> {
    match fit.factor().filter(|_| sought.measure() == Measure::Total) {
        Some(factor) => Ok(total(fit, parts, factor, sought)),
        None => by_choice(fit, parts, sought),
    }
}

/// By choosing anew from a table of all parts.
pub(super) fn by_choice<F: Fitting>(fit: &F, parts: Choice<'_>, sought: Sought) -> Result<Option<f64>, PileError> {
    let shape = Shape { slots: fit.positions(), items: parts.len() };
    let table = Table::from_fn(shape, |slot, item| {
        whole(match parts.part(item) {
            One::InStock(part, numbers) => fit.value_in_stock(position(slot), part, numbers),
            One::Further(numbers) => fit.value(position(slot), numbers),
        }?)
    })?;
    let beside = |width: usize| {
        Table::from_fn(shape, |slot, item| {
            whole(match parts.part(item) {
                One::InStock(part, numbers) => fit.beside_in_stock(width, position(slot), part, numbers),
                One::Further(numbers) => fit.beside(width, position(slot), numbers),
            }?)
        })
    };
    let quantities = fit.widths().len() + fit.apart().len();
    let besides: Vec<Table> = (0..quantities).map(beside).collect::<Result<_, _>>()?;
    let windows = besides.iter().zip(fit.widths()).map(|(table, &width)| Window { table, width }).collect();
    let criterion = Criterion { table: &table, measure: sought.measure(), sense: sought.sense(), slack: 0 };
    let problem = Problem::new(vec![criterion], windows)?;
    if !fit.apart().is_empty() {
        return beside_neighbours(fit, &problem, &besides[fit.widths().len()..], sought);
    }
    match solve(&problem) {
        Outcome::Proven(solution) => {
            check_choice(&problem.statement(), &solution.choice, &solution.values)?;
            Ok(solution.values.first().map(|&value| sought.in_ticks(value, shape.slots)))
        }
        Outcome::Impossible(_) => Ok(None),
        // One criterion is always exact, whatever the windows.
        Outcome::BestFound { .. } => Err(PileError::Open),
    }
}

/// The same where neighbours are limited, each of these tables holding the values of one limit.
fn beside_neighbours<F: Fitting>(
    fit: &F,
    problem: &Problem<'_>,
    tables: &[Table],
    sought: Sought,
) -> Result<Option<f64>, PileError> {
    let slot = |position: PositionId| Slot::new(u32::try_from(position.index()).unwrap_or(u32::MAX));
    let of_limit = |(table, &most)| {
        let pairs = fit.neighbours().iter();
        pairs.map(move |&(one, other)| Neighbour { one: slot(one), other: slot(other), table, most })
    };
    let sides = Sides { neighbours: tables.iter().zip(fit.apart()).flat_map(of_limit).collect(), ..Sides::default() };
    let sided = SidedProblem::new(problem.clone(), sides.clone()).map_err(PlanError::from)?;
    match solve_sided(&sided) {
        SidedOutcome::Proven(solution) => {
            check_sided(&problem.statement(), &sides, &solution.choice, &solution.values)?;
            Ok(solution.values.first().map(|&value| sought.in_ticks(value, fit.positions())))
        }
        SidedOutcome::Impossible(_) => Ok(None),
        SidedOutcome::BestFound { .. } | SidedOutcome::Undecided { .. } => Err(PileError::Open),
    }
}

fn total<F: Fitting>(fit: &F, parts: Choice<'_>, factor: f64, sought: Sought) -> Option<f64> {
    let kept = kept(parts, fit.positions(), factor, sought)?;
    Some(turned(base(fit), sought) + kept.iter().sum::<f64>()).map(|best| turned(best, sought))
}

/// What the parts that a total keeps add to it, turned so that more is better; `None` if there are too few parts.
pub(super) fn kept(parts: Choice<'_>, positions: usize, factor: f64, sought: Sought) -> Option<Vec<f64>> {
    let mut worth: Vec<f64> = parts.firsts().map(|number| turned(factor * number, sought)).collect();
    if worth.len() < positions {
        return None;
    }
    worth.sort_unstable_by(|one, other| other.total_cmp(one));
    worth.truncate(positions);
    Some(worth)
}

/// The total of what the positions bring by themselves.
fn base<F: Fitting>(fit: &F) -> f64 {
    let positions = (0..).map(PositionId::new).take(fit.positions());
    positions.filter_map(|position| fit.value(position, &[0.0])).sum()
}

/// The value turned so that more of it is better.
pub(super) fn turned(value: f64, sought: Sought) -> f64 {
    if sought.sense() == Sense::Most { value } else { -value }
}

fn position(slot: Slot) -> PositionId {
    PositionId::new(slot.number())
}

/// Whole ticks; a value far beyond what the solver takes stands for no value.
#[expect(clippy::cast_possible_truncation, reason = "the range is looked at")]
fn whole(value: f64) -> Option<i64> {
    let limit = Table::LIMIT as f64;
    (-limit..=limit).contains(&value).then(|| value.round() as i64)
}
