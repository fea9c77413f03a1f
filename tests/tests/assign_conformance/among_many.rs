//! Small tables inside large ones: the roads that only large tables take, held against enumeration.
//!
//! Hundreds of slots more each keep an item of their own, because their other pairs are forbidden or so bad that no best choice
//! has one; what is left to choose is the small table.

use crate::brute::{self, exact_goal};
use crate::roads::Road;
use crate::tables;
use pairwright_assign::{
    Choice, Criterion, Item, Measure, Problem, Sense, Shape, Slot, Table, any_best, starting_from,
};
use pairwright_proof::check_proof;
use proptest::prelude::*;

/// Further slots: with the first of these tables are copied and searched several columns at a time, with the second they are
/// read row by row, a few pairs of each row kept.
const MORE: [usize; 2] = [190, 370];
/// Beyond anything that the small tables add up to.
const BAD: i64 = 1 << 22;

#[derive(Clone, Copy, Debug)]
struct Frame {
    /// Further slots.
    more: usize,
    /// What a further slot's own item is worth.
    own: i64,
    /// Whether further slots and items come before those of the small table.
    before: bool,
    /// Whether their other pairs are bad; otherwise they are forbidden.
    is_open: bool,
}

impl Frame {
    fn lead(self) -> usize {
        if self.before { self.more } else { 0 }
    }

    fn around(self, small: &Table, bad: i64) -> Table {
        let Shape { slots, items } = small.shape();
        let lead = self.lead();
        Table::from_fn(Shape { slots: slots + self.more, items: items + self.more }, |slot, item| {
            let inside = |at: usize, size: usize| at.checked_sub(lead).filter(|&at| at < size);
            let further = |at: usize, size: usize| if at < lead { at } else { at - size };
            match (inside(slot.index(), slots), inside(item.index(), items)) {
                (Some(slot), Some(item)) => small.get(at(slot), Item::new(number(item))),
                (None, None) if further(slot.index(), slots) == further(item.index(), items) => Some(self.own),
                // Never twice the same, so that no choice of bad pairs alone is even.
                _ => self.is_open.then_some(bad * (1 + i64::from(slot.number()))),
            }
        })
        .unwrap()
    }

    /// A small choice with every further slot's own item.
    fn with(self, small: &[Item], items: usize) -> Vec<Item> {
        let lead = self.lead();
        let inside = small.iter().map(|item| Item::new(item.number() + number(lead)));
        let further = |place: usize| Item::new(number(if self.before { place } else { items + place }));
        let further = (0..self.more).map(further);
        if self.before { further.chain(inside).collect() } else { inside.chain(further).collect() }
    }
}

fn number(at: usize) -> u32 {
    u32::try_from(at).unwrap()
}

fn at(slot: usize) -> Slot {
    Slot::new(number(slot))
}

fn frames() -> impl Strategy<Value = Frame> {
    (prop::sample::select(&MORE), -9_i64..9, any::<bool>(), any::<bool>())
        .prop_map(|(more, own, before, is_open)| Frame { more, own, before, is_open })
}

/// The best total, or total of squares, of a large table, whichever choice has it.
fn agrees_with_any(problem: &Problem<'_>, value: i128) -> Result<(), TestCaseError> {
    let Some(best) = any_best(problem) else {
        let first = problem.criteria()[0].measure;
        prop_assert!(!matches!(first, Measure::Total | Measure::SquaresFrom { .. }), "a sum has a best value");
        return Ok(());
    };
    prop_assert_eq!(best.value, value);
    prop_assert_eq!(brute::value(&problem.criteria()[0], best.choice.items()), value);
    prop_assert_eq!(check_proof(&problem.statement(), &best.choice, &[value], &best.proof()).unwrap().levels, 1);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(250))]

    #[test]
    fn prop_a_small_table_among_many_more_slots_has_the_same_best_choice(
        small in tables(),
        (measure, sense) in exact_goal().prop_filter("large tables take long over it", |goal| goal.0 != Measure::SquaresAboutMean),
        frame in frames(),
    ) {
        let inside = Problem::new(vec![Criterion { table: &small, measure, sense, slack: 0 }], vec![]).unwrap();
        let choices = brute::choices(&inside);
        // A bad pair has to be worse than anything; where there is no choice without one, and where being far is good, there is none.
        let is_far_good = matches!((measure, sense), (Measure::SquaresFrom { .. }, Sense::Most));
        let frame = Frame { is_open: frame.is_open && !choices.is_empty() && !is_far_good, ..frame };
        let bad = if sense == Sense::Least { BAD } else { -BAD };
        let large = frame.around(&small, bad);
        let criterion = Criterion { table: &large, measure, sense, slack: 0 };
        let problem = Problem::new(vec![criterion], vec![]).unwrap();

        let sign = if sense == Sense::Least { 1 } else { -1 };
        let framed: Vec<Vec<Item>> = choices.iter().map(|choice| frame.with(choice, small.shape().items)).collect();
        // The first of the best, in order.
        let best = framed.iter().min_by_key(|choice| sign * brute::value(&criterion, choice));
        let value = best.map(|best| brute::value(&criterion, best));
        let starts = framed.iter().max_by_key(|choice| sign * brute::value(&criterion, choice)).into_iter().chain(framed.last());
        let starts: Vec<Choice> = starts.map(|items| Choice::new(items.clone())).collect();
        for road in [Road::Plain, Road::Within, Road::Proof] {
            let found = road.best(&problem, None);
            prop_assert_eq!(found.as_ref().map(|found| found.value), value, "{:?}", road);
            prop_assert_eq!(found.as_ref().map(|found| &found.items), best, "{:?}", road);
            for start in &starts {
                let found = starting_from(start, || road.best(&problem, Some(start)));
                prop_assert_eq!(found.as_ref().map(|found| &found.items), best, "{:?} from {:?}", road, start);
            }
        }
        if let Some(value) = value {
            agrees_with_any(&problem, value)?;
        } else {
            prop_assert_eq!(any_best(&problem), None);
        }
    }
}
