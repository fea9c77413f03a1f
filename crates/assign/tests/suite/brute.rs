//! Every choice there is, looked at one by one. Shares nothing with the solver but the plain data of a problem.
use pairwright_assign::{Criterion, Item, Measure, Problem, Sense, Shape, Slot, Table};
use proptest::prelude::*;

/// The answer by enumeration: the values of the chain and the first of the best choices in order.
#[derive(Debug, PartialEq, Eq)]
pub(crate) struct Answer {
    pub(crate) choice: Vec<Item>,
    pub(crate) values: Vec<i128>,
}

/// All choices that keep the rules, in lexicographic order.
pub(crate) fn choices(problem: &Problem<'_>) -> Vec<Vec<Item>> {
    let mut all = Vec::new();
    extend(problem, &mut Vec::new(), &mut all);
    all
}

fn extend(problem: &Problem<'_>, chosen: &mut Vec<Item>, all: &mut Vec<Vec<Item>>) {
    let Shape { slots, items } = problem.shape();
    if chosen.len() == slots {
        if keeps_windows_and_changes(problem, chosen) {
            all.push(chosen.clone());
        }
        return;
    }
    let slot = Slot::new(u32::try_from(chosen.len()).unwrap());
    for item in (0..u32::try_from(items).unwrap()).map(Item::new) {
        let of_criteria = problem.criteria().iter().map(|criterion| criterion.table);
        let mut tables = of_criteria.chain(problem.windows().iter().map(|window| window.table));
        if !chosen.contains(&item) && tables.all(|table| table.get(slot, item).is_some()) {
            chosen.push(item);
            extend(problem, chosen, all);
            chosen.pop();
        }
    }
}

fn keeps_windows_and_changes(problem: &Problem<'_>, chosen: &[Item]) -> bool {
    let changes = problem.changes();
    changes.forced.iter().all(|(slot, item)| chosen[slot.index()] == *item)
        && changes.forbidden.iter().all(|(slot, item)| chosen[slot.index()] != *item)
        && changes.left_out.iter().all(|item| !chosen.contains(item))
        && changes.brought_in.iter().all(|item| chosen.contains(item))
        && problem.windows().iter().all(|window| {
            let values = values(window.table, chosen);
            let spread = values.iter().max().unwrap_or(&0) - values.iter().min().unwrap_or(&0);
            spread <= i128::from(window.width)
        })
}

fn values(table: &Table, chosen: &[Item]) -> Vec<i128> {
    let value = |(slot, &item): (u32, &Item)| i128::from(table.get(Slot::new(slot), item).unwrap());
    (0..).zip(chosen).map(value).collect()
}

/// The value of a criterion.
pub(crate) fn value(criterion: &Criterion<'_>, chosen: &[Item]) -> i128 {
    let v = values(criterion.table, chosen);
    let least = *v.iter().min().unwrap_or(&0);
    let most = *v.iter().max().unwrap_or(&0);
    match criterion.measure {
        Measure::Spread => most - least,
        Measure::Total => v.iter().sum(),
        Measure::Greatest => most,
        Measure::Least => least,
        Measure::WorstFrom { target } => v.iter().map(|v| (v - i128::from(target)).abs()).max().unwrap_or(0),
        Measure::SquaresFrom { target } => v.iter().map(|v| (v - i128::from(target)).pow(2)).sum(),
        // Sum over all ordered pairs of (v − w)², halved: the same number by another road.
        Measure::SquaresAboutMean => {
            v.iter().map(|one| v.iter().map(|other| (one - other).pow(2)).sum::<i128>()).sum::<i128>() / 2
        }
    }
}

/// The choices left after the first `levels` criteria, in lexicographic order.
pub(crate) fn left_after(problem: &Problem<'_>, levels: usize) -> Vec<Vec<Item>> {
    let mut left = choices(problem);
    for criterion in &problem.criteria()[..levels] {
        let sign = if criterion.sense == Sense::Least { 1 } else { -1 };
        let score = |choice: &Vec<Item>| sign * value(criterion, choice);
        let Some(best) = left.iter().map(score).min() else {
            break;
        };
        left.retain(|choice| score(choice) <= best + i128::from(criterion.slack));
    }
    left
}

pub(crate) fn solve(problem: &Problem<'_>) -> Option<Answer> {
    let choice = left_after(problem, problem.criteria().len()).into_iter().next()?;
    let values = problem.criteria().iter().map(|criterion| value(criterion, &choice)).collect();
    Some(Answer { choice, values })
}

/// A table with values of at most `range` in magnitude; about one pair in `rarity` is forbidden.
pub(crate) fn table(shape: Shape, range: i64, rarity: u32) -> impl Strategy<Value = Table> {
    let cell = prop_oneof![1 => Just(None), rarity - 1 => (-range..=range).prop_map(Some)];
    prop::collection::vec(cell, shape.slots * shape.items)
        .prop_map(move |cells| Table::from_cells(shape, &cells).unwrap())
}

/// Few slots, at least as many items.
pub(crate) fn shape(slots: std::ops::RangeInclusive<usize>, spare: usize) -> impl Strategy<Value = Shape> {
    (slots, 0..=spare).prop_map(|(slots, spare)| Shape { slots, items: slots + spare })
}

/// Measures and senses that have an exact method of their own.
pub(crate) fn exact_goal() -> BoxedStrategy<(Measure, Sense)> {
    prop_oneof![
        3 => Just((Measure::Spread, Sense::Least)),
        3 => Just((Measure::SquaresAboutMean, Sense::Least)),
        2 => Just((Measure::Total, Sense::Least)),
        1 => Just((Measure::Total, Sense::Most)),
        1 => Just((Measure::Greatest, Sense::Least)),
        1 => Just((Measure::Least, Sense::Most)),
        1 => (-9_i64..9).prop_map(|target| (Measure::WorstFrom { target }, Sense::Least)),
        1 => (-9_i64..9).prop_map(|target| (Measure::SquaresFrom { target }, Sense::Least)),
        1 => (-9_i64..9).prop_map(|target| (Measure::SquaresFrom { target }, Sense::Most)),
    ]
    .boxed()
}

/// Any measure, any sense.
pub(crate) fn any_goal() -> BoxedStrategy<(Measure, Sense)> {
    let far = prop_oneof![
        Just((Measure::Spread, Sense::Most)),
        Just((Measure::SquaresAboutMean, Sense::Most)),
        Just((Measure::Greatest, Sense::Most)),
        Just((Measure::Least, Sense::Least)),
        (-9_i64..9).prop_map(|target| (Measure::WorstFrom { target }, Sense::Most)),
    ];
    prop_oneof![3 => exact_goal(), 1 => far].boxed()
}
