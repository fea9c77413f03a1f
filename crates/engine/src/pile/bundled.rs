//! The best bundles of a pile, criterion after criterion.

use pairwright_assign::several::{SeveralOutcome, SeveralProblem, solve_several};
use pairwright_assign::{Item, Measure, Sense};
use pairwright_proof::{
    Bundles, Choice, SeveralLimit, SeveralRule, Shape, Slot, Table, Worth as Value, check_bundles_within, evaluate,
};

use super::found::{Found, Worth};
use super::solve::Choice as Parts;
use super::together::{Bundled, Together};
use super::{PileError, Sought};
use crate::plan::PlanError;

/// Bundles that one search may look at: one of hundreds.
const EFFORT: u64 = 4_000_000;

type Values<'b> = Box<dyn Fn(Slot, &[Item]) -> Option<i64> + 'b>;

/// What a criterion comes to over bundles.
enum Came {
    To(i128, Bundles),
    /// The search ended before it was through, with what it had met.
    Open(Option<Bundles>),
    Nothing,
}

/// The best bundles of what is sought, each part used once. The search's own end is believed; rules, limits and values are gone over by the
/// checker.
pub(super) fn best_together(together: &Together, parts: Parts<'_>, sought: Sought) -> Result<Found, PileError> {
    let most = together.most_further(SeveralProblem::MOST_ITEMS, SeveralProblem::MOST_BUNDLES);
    if parts.len() > together.parts + most {
        return Err(PileError::TooManyTogether { most });
    }
    let bundled = Bundled::new(together, parts);
    let criteria = criteria(&bundled, sought);
    let (held, mut rules) = limits(&bundled);
    let mut totals = Vec::new();
    for (at, (values, measure, sense)) in criteria.iter().enumerate() {
        let own = held.iter().map(Some).chain((0..at).map(|before| Some(&criteria[before].0)));
        let limits: Vec<SeveralLimit<'_>> = own
            .zip(&rules)
            .map(|(values, &rule)| SeveralLimit { worth: values.map(|values| Value::Function(values)), rule })
            .collect();
        match came(&bundled, (values, *measure, *sense), &limits)? {
            Came::To(aim, bundles) if at + 1 == criteria.len() => {
                let before = totals.into_iter().map(|total: i128| total as f64).collect();
                let worth = Worth { before, aim: sought.in_ticks(aim, bundles.0.len()) };
                return Ok(Found { worth: Some(worth), is_proven: true });
            }
            Came::To(value, _) => {
                totals.push(value);
                rules.push(SeveralRule::NoWorse { measure: *measure, sense: *sense, than: value });
            }
            Came::Nothing if at == 0 => return Ok(Found::NOTHING),
            Came::Nothing | Came::Open(None) => break,
            Came::Open(Some(bundles)) => {
                let worth = worth(&criteria, &bundles, sought);
                return Ok(Found { worth, is_proven: false });
            }
        }
    }
    Ok(Found { worth: None, is_proven: false })
}

/// What counts, in order: values, a measure and which way is better.
fn criteria<'b>(bundled: &'b Bundled<'_>, sought: Sought) -> Vec<(Values<'b>, Measure, Sense)> {
    let total = |at: usize| {
        let values: Values<'b> =
            Box::new(move |slot, items| bundled.aim(slot, items).map(|_| bundled.counted(Some(at), slot, items)));
        (values, Measure::Total, Sense::Least)
    };
    let aim: Values<'b> = Box::new(move |slot, items| bundled.aim(slot, items));
    let before = (0..bundled.together.bought.before.len()).map(total);
    before.chain([(aim, sought.measure(), sought.sense())]).collect()
}

/// The limits over all positions.
fn limits<'b>(bundled: &'b Bundled<'_>) -> (Vec<Values<'b>>, Vec<SeveralRule<'b>>) {
    let together = bundled.together;
    let layer = |layer: usize| -> Values<'b> { Box::new(move |slot, items| bundled.value(layer, slot, items)) };
    let width = |&(at, ticks): &(usize, i64)| {
        (layer(at), SeveralRule::NoWorse { measure: Measure::Spread, sense: Sense::Least, than: ticks.into() })
    };
    let apart = |&(at, ticks): &(usize, i64)| (layer(at), SeveralRule::Apart { pairs: &together.neighbours, ticks });
    let spend = together.bought.spend.map(|most| {
        let values: Values<'b> = Box::new(move |slot, items| Some(bundled.counted(None, slot, items)));
        (values, SeveralRule::NoWorse { measure: Measure::Total, sense: Sense::Least, than: most.into() })
    });
    together.widths.iter().map(width).chain(together.apart.iter().map(apart)).chain(spend).unzip()
}

fn came(
    bundled: &Bundled<'_>,
    (values, measure, sense): (&Values<'_>, Measure, Sense),
    limits: &[SeveralLimit<'_>],
) -> Result<Came, PileError> {
    let worth = Value::Function(values);
    let problem = SeveralProblem::new(bundled.shape(), &worth, measure, sense).map_err(PlanError::from)?;
    let problem = problem.with_effort(EFFORT).for_value_alone().with_limits(limits).map_err(PlanError::from)?;
    let (arrangement, is_through) = match solve_several(&problem) {
        SeveralOutcome::Proven { arrangement, .. }
        | SeveralOutcome::Searched { arrangement: Some(arrangement), .. } => (arrangement, true),
        SeveralOutcome::BestFound { arrangement, .. } => (arrangement, false),
        SeveralOutcome::Searched { arrangement: None, .. } | SeveralOutcome::Impossible { .. } => {
            return Ok(Came::Nothing);
        }
        SeveralOutcome::Undecided { .. } => return Ok(Came::Open(None)),
    };
    check_bundles_within(bundled.shape(), &worth, limits, measure, &arrangement.bundles, arrangement.value)
        .map_err(PlanError::from)?;
    let bundles = arrangement.bundles;
    Ok(if is_through { Came::To(arrangement.value, bundles) } else { Came::Open(Some(bundles)) })
}

/// What bundles are worth by every criterion, from their values.
fn worth(criteria: &[(Values<'_>, Measure, Sense)], bundles: &Bundles, sought: Sought) -> Option<Worth> {
    let values = |values: &Values<'_>| -> Option<Vec<i64>> {
        (0..).map(Slot::new).zip(&bundles.0).map(|(slot, items)| values(slot, items)).collect()
    };
    let (aim, before) = criteria.split_last()?;
    let total = |(of, _, _): &(Values<'_>, Measure, Sense)| Some(values(of)?.iter().sum::<i64>() as f64);
    let before = before.iter().map(total).collect::<Option<_>>()?;
    let own = values(&aim.0)?;
    let shape = Shape { slots: own.len(), items: own.len() };
    let table =
        Table::from_fn(shape, |slot, item| own.get(slot.index()).copied().filter(|_| slot.index() == item.index()));
    let choice = Choice::new((0..).map(Item::new).take(own.len()).collect());
    let aim = evaluate(sought.measure(), &table.ok()?, &choice).ok()?;
    Some(Worth { before, aim: sought.in_ticks(aim, own.len()) })
}
