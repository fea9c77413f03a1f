//! Small joint problems, and every choice there is looked at one by one.

use pairwright_assign::{
    Beside, Choice, Couple, Filled, Item, JointAim, JointChoice, JointStatement, Outer, Scale, Shape, Slot, Table,
};
use proptest::prelude::*;

/// The parts of a problem, owned.
#[derive(Clone, Debug)]
pub(crate) struct Parts {
    pub(crate) first: Table,
    pub(crate) second: Table,
    pub(crate) barred: Vec<Couple>,
    pub(crate) offsets: Vec<Vec<i64>>,
    pub(crate) curve: Curve,
    /// Whether two slots may stand in each other's way.
    pub(crate) apart: bool,
}

/// From sums to values.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Curve {
    Sum,
    /// A constant of the slot over the sum, falling, with long flat stretches; no value for sums that are too small.
    Ratio,
    /// Rising in steps.
    Steps,
    /// Not monotone at all.
    Wave,
    /// No function of the sum: of outer choice, slot and items by themselves.
    Free,
    /// The same far from 0 and far apart, so that levels rise long before anything is found.
    Far,
}

fn ratio(slot: Slot, sum: i64) -> Option<i64> {
    (sum > -25).then(|| (3000 + 100 * i64::from(slot.number())) / (sum + 30))
}

fn steps(slot: Slot, sum: i64) -> i64 {
    (sum + i64::from(slot.number())).div_euclid(3)
}

fn wave(sum: i64) -> i64 {
    (sum * sum).rem_euclid(17)
}

fn free(outer: Outer, slot: Slot, items: Couple) -> Option<i64> {
    let [a, b, o, j] = [items.first.number(), items.second.number(), outer.number(), slot.number()].map(i64::from);
    let mixed = (7 * a * b + 5 * a * (j + 1) + 3 * b * (o + 2) + 11 * j * o).rem_euclid(23);
    (mixed != 4).then_some(mixed)
}

fn far(outer: Outer, slot: Slot, items: Couple) -> Option<i64> {
    Some(9_000_000 + 40_000 * free(outer, slot, items)?)
}

/// Symmetric, and of neither the values nor the sums.
fn stand(outer: Outer, one: Filled, other: Filled) -> bool {
    let mark =
        |filled: Filled| 5 * filled.items.first.number() + 3 * filled.items.second.number() + filled.slot.number();
    (mark(one) * mark(other) + outer.number()) % 7 > 1
}

impl Parts {
    pub(crate) fn statement(&self) -> JointStatement<'_> {
        let scale = match self.curve {
            Curve::Sum => Scale::Sum,
            Curve::Ratio => Scale::Map(&ratio),
            Curve::Steps => Scale::Map(&|slot, sum| Some(steps(slot, sum))),
            Curve::Wave => Scale::Map(&|_, sum| Some(wave(sum))),
            Curve::Free => Scale::Free(&free),
            Curve::Far => Scale::Free(&far),
        };
        JointStatement {
            first: &self.first,
            second: &self.second,
            barred: &self.barred,
            offsets: &self.offsets,
            scale,
            beside: self.apart.then_some(Beside(&stand)),
        }
    }

    fn value(&self, outer: usize, slot: usize, first: usize, second: usize) -> Option<i64> {
        let number = |at: usize| u32::try_from(at).unwrap();
        let (place, items) = (Slot::new(number(slot)), [Item::new(number(first)), Item::new(number(second))]);
        if self.barred.contains(&Couple { first: items[0], second: items[1] }) {
            return None;
        }
        let sum = self.first.get(place, items[0])? + self.second.get(place, items[1])? + self.offsets[outer][slot];
        match self.curve {
            Curve::Sum => Some(sum),
            Curve::Ratio => ratio(place, sum),
            Curve::Steps => Some(steps(place, sum)),
            Curve::Wave => Some(wave(sum)),
            Curve::Free | Curve::Far => {
                let value = if matches!(self.curve, Curve::Far) { far } else { free };
                value(Outer::new(number(outer)), place, Couple { first: items[0], second: items[1] })
            }
        }
    }

    fn may_stand(&self, outer: usize, first: &[usize], second: &[usize]) -> bool {
        let number = |at: usize| u32::try_from(at).unwrap();
        let filled = |slot: usize| Filled {
            slot: Slot::new(number(slot)),
            items: Couple { first: Item::new(number(first[slot])), second: Item::new(number(second[slot])) },
        };
        let outer = Outer::new(number(outer));
        let two = |one: usize| (0..one).all(|other| stand(outer, filled(one), filled(other)));
        !self.apart || (0..first.len()).all(two)
    }

    /// Every choice with its values, in the order of ties.
    pub(crate) fn all(&self) -> Vec<(JointChoice, Vec<i64>)> {
        let slots = self.first.shape().slots;
        let firsts = arrangements(self.first.shape().items, slots);
        let seconds = arrangements(self.second.shape().items, slots);
        let mut all = Vec::new();
        for outer in 0..self.offsets.len() {
            for first in &firsts {
                for second in &seconds {
                    let values: Option<Vec<i64>> =
                        (0..slots).map(|slot| self.value(outer, slot, first[slot], second[slot])).collect();
                    if let Some(values) = values.filter(|_| self.may_stand(outer, first, second)) {
                        let outer = Outer::new(u32::try_from(outer).unwrap());
                        all.push((JointChoice { outer, first: choice(first), second: choice(second) }, values));
                    }
                }
            }
        }
        all
    }
}

fn choice(items: &[usize]) -> Choice {
    Choice::new(items.iter().map(|&item| Item::new(u32::try_from(item).unwrap())).collect())
}

/// All ways to take `slots` different ones of `items`, in lexicographic order.
fn arrangements(items: usize, slots: usize) -> Vec<Vec<usize>> {
    let mut all = vec![Vec::new()];
    for _ in 0..slots {
        let longer = |chosen: &Vec<usize>| {
            let free = (0..items).filter(|item| !chosen.contains(item));
            free.map(|item| chosen.iter().copied().chain([item]).collect()).collect::<Vec<Vec<usize>>>()
        };
        all = all.iter().flat_map(longer).collect();
    }
    all
}

/// The aim's value, then the squares about the mean.
pub(crate) fn key(aim: JointAim, values: &[i64]) -> (i128, i128) {
    let wide = || values.iter().map(|&value| i128::from(value));
    let about_mean = wide().map(|one| wide().map(|other| (one - other).pow(2)).sum::<i128>()).sum::<i128>() / 2;
    let value = match aim {
        JointAim::Spread => wide().max().unwrap() - wide().min().unwrap(),
        JointAim::WorstFrom { target } => wide().map(|v| (v - i128::from(target)).abs()).max().unwrap(),
        JointAim::SquaresFrom { target } => wide().map(|v| (v - i128::from(target)).pow(2)).sum(),
        JointAim::SquaresAboutMean => about_mean,
        JointAim::Total => wide().sum(),
    };
    (value, about_mean)
}

pub(crate) fn aim() -> impl Strategy<Value = JointAim> {
    prop_oneof![
        3 => Just(JointAim::Spread),
        2 => Just(JointAim::SquaresAboutMean),
        1 => Just(JointAim::Total),
        1 => (-20_i64..40).prop_map(|target| JointAim::WorstFrom { target }),
        1 => (-20_i64..40).prop_map(|target| JointAim::SquaresFrom { target }),
    ]
}

fn curve() -> impl Strategy<Value = Curve> {
    prop_oneof![
        3 => Just(Curve::Sum),
        2 => Just(Curve::Ratio),
        1 => Just(Curve::Steps),
        1 => Just(Curve::Wave),
        2 => Just(Curve::Free),
        1 => Just(Curve::Far),
    ]
}

/// A table of additive effects, or of anything, with values from few or from many.
fn table(shape: Shape) -> impl Strategy<Value = Table> {
    let range = prop_oneof![Just(2_i64), Just(8), Just(40)];
    let rarity = prop_oneof![3 => Just(0_u32), 1 => Just(12)];
    let cells = shape.slots * shape.items;
    (range, rarity, any::<bool>()).prop_flat_map(move |(range, rarity, additive)| {
        let number = || prop::collection::vec(-range..=range, cells);
        let gone = prop::collection::vec(0..rarity.max(1), cells);
        (number(), gone).prop_map(move |(numbers, gone)| {
            let at = |slot: Slot, item: Item| slot.index() * shape.items + item.index();
            Table::from_fn(shape, |slot, item| {
                let value = if additive {
                    numbers[at(slot, Item::new(0))] + numbers[at(Slot::new(0), item)]
                } else {
                    numbers[at(slot, item)]
                };
                (rarity == 0 || gone[at(slot, item)] > 0).then_some(value)
            })
            .unwrap()
        })
    })
}

/// A problem of at most this many choices, more or less.
pub(crate) fn parts() -> impl Strategy<Value = Parts> {
    let sizes = prop_oneof![
        Just((1, 3, 4)),
        Just((2, 4, 3)),
        Just((3, 3, 3)),
        Just((3, 4, 5)),
        Just((4, 4, 4)),
        Just((4, 5, 4)),
        Just((3, 5, 3)),
        Just((2, 1, 2)),
    ];
    sizes.prop_flat_map(|(slots, firsts, seconds)| {
        let couple = (0..firsts, 0..seconds).prop_map(|(first, second)| Couple {
            first: Item::new(u32::try_from(first).unwrap()),
            second: Item::new(u32::try_from(second).unwrap()),
        });
        let outer = prop::collection::vec(-6_i64..=6, slots);
        (
            table(Shape { slots, items: firsts }),
            table(Shape { slots, items: seconds }),
            prop::collection::vec(couple, 0..=firsts),
            prop::collection::vec(outer, 1..=3),
            (curve(), prop::bool::weighted(0.3)),
        )
            .prop_map(|(first, second, barred, offsets, (curve, apart))| Parts {
                first,
                second,
                barred,
                offsets,
                curve,
                apart,
            })
    })
}
