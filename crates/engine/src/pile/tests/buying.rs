//! What counts before the aim, and what may be spent, against every arrangement.

use proptest::prelude::*;

use crate::pile::solve::{Choice, best};
use crate::pile::{Drawing, Fitting, Line, Need, Numbers, Pile, Sought, Worth};
use crate::readings::{PartId, PositionId};

/// Parts with prices, some of which stand somewhere.
#[derive(Clone, Debug)]
struct Shop {
    line: Line,
    prices: Vec<i64>,
    /// What a further part costs.
    further: i64,
    /// 0 price, 1 moves: the part of a place stands in the position of that place.
    before: Vec<usize>,
    spend: Option<i64>,
}

impl Fitting for Shop {
    fn positions(&self) -> usize {
        self.line.positions()
    }

    fn value(&self, position: PositionId, part: &[f64]) -> Option<f64> {
        self.line.value(position, part)
    }

    fn before(&self) -> usize {
        self.before.len()
    }

    fn adds(&self, criterion: usize, position: PositionId, part: Option<PartId>) -> i64 {
        match self.before[criterion] {
            0 => self.price(part),
            _ => i64::from(part.is_none_or(|part| part.index() != position.index())),
        }
    }

    fn spend(&self) -> Option<i64> {
        self.spend
    }

    fn price(&self, part: Option<PartId>) -> i64 {
        part.map_or(self.further, |part| self.prices[part.index()])
    }
}

/// The best over all arrangements: every total before the aim, then the aim, all turned so that less is better.
fn brute(shop: &Shop, stock: &[f64], further: &[f64], sought: Sought) -> Option<Vec<f64>> {
    fn place(slots: usize, parts: usize, used: &mut Vec<usize>, found: &mut dyn FnMut(&[usize])) {
        if used.len() == slots {
            return found(used);
        }
        for part in 0..parts {
            if !used.contains(&part) {
                used.push(part);
                place(slots, parts, used, found);
                used.pop();
            }
        }
    }
    let known = |part: usize| (part < stock.len()).then(|| PartId::new(u32::try_from(part).unwrap()));
    let number = |part: usize| *stock.iter().chain(further).nth(part).unwrap();
    let mut best: Option<Vec<f64>> = None;
    place(shop.positions(), stock.len() + further.len(), &mut Vec::new(), &mut |used| {
        let positions = || (0..).map(PositionId::new).zip(used);
        let values: Option<Vec<f64>> = positions().map(|(at, &part)| shop.value(at, &[number(part)])).collect();
        let spent: i64 = used.iter().map(|&part| shop.price(known(part))).sum();
        let Some(values) = values.filter(|_| shop.spend.is_none_or(|most| spent <= most)) else { return };
        let total =
            |at: usize| positions().map(|(position, &part)| shop.adds(at, position, known(part))).sum::<i64>() as f64;
        let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let low = values.iter().copied().fold(f64::INFINITY, f64::min);
        let aim = if sought == Sought::EVEN { high - low } else { -values.iter().sum::<f64>() };
        let key: Vec<f64> = (0..shop.before()).map(total).chain([aim]).collect();
        if best.as_ref().is_none_or(|best| key < *best) {
            best = Some(key);
        }
    });
    best
}

fn turned(worth: &Worth, sought: Sought) -> Vec<f64> {
    let aim = if sought == Sought::EVEN { worth.aim } else { -worth.aim };
    worth.before.iter().copied().chain([aim]).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(150))]

    #[test]
    fn prop_money_and_moves_before_the_aim_are_those_of_trying_everything(
        effects in prop::collection::vec(-40_i32..40, 1..4),
        parts in prop::collection::vec(1_000_i32..1_100, 2..7),
        prices in prop::collection::vec(0_i64..6, 6),
        split in 0_usize..6,
        before in prop::sample::subsequence(vec![0_usize, 1], 0..=2),
        (further, spend) in (0_i64..4, prop::option::of(0_i64..12)),
    ) {
        let line = Line::adding(effects.iter().map(|&effect| f64::from(effect))).within(Some(1_000.0), None);
        let shop = Shop { line, prices, further, before, spend };
        let parts: Vec<f64> = parts.iter().map(|&part| f64::from(part)).collect();
        let (stock, more) = parts.split_at(split.min(parts.len()));
        let (known, drawn) = (Numbers::single(stock.to_vec()), Numbers::single(more.to_vec()));
        for sought in [Sought::EVEN, Sought::HIGHEST] {
            let found = best(&shop, Choice { stock: &known, further: &drawn }, sought).unwrap();
            prop_assert!(found.is_proven);
            prop_assert_eq!(found.worth.map(|worth| turned(&worth, sought)), brute(&shop, stock, more, sought));
        }
    }
}

fn shop(before: &[usize], further: i64, spend: Option<i64>) -> Pile<Shop> {
    let parts = vec![1_010.0, 1_480.0, 1_950.0, 1_020.0, 1_500.0, 2_090.0, 1_300.0];
    let line = Line::adding([0.0, 40.0, -25.0]);
    let shop = Shop { line, prices: vec![0, 500, 0, 700, 300, 900, 400], further, before: before.to_vec(), spend };
    Pile::new(shop, Numbers::single(parts), Sought::EVEN).unwrap()
}

const FEW: Drawing = Drawing { seed: 9, futures: 60 };

/// In no future is a larger pile worse by the criteria in order, and none gains from nothing.
#[test]
fn more_parts_are_never_worse_by_the_criteria_in_order() {
    for (before, further) in [(&[0_usize][..], 0), (&[0], 450), (&[1, 0], 0), (&[0, 1], 200), (&[], 100)] {
        let pile = shop(before, further, Some(1_500));
        let mut last = pile.futures(0, FEW).unwrap();
        for more in [1, 4, 15] {
            let next = pile.futures(more, FEW).unwrap();
            for (one, other) in last.iter().zip(&next) {
                let key = |found: &crate::pile::found::Found| turned(found.worth.as_ref().unwrap(), Sought::EVEN);
                assert!(key(other) <= key(one), "{before:?}, {more}: {one:?} {other:?}");
            }
            last = next;
        }
        let outlook = pile.outlook(&[0, 4, 15], FEW).unwrap();
        assert_eq!(outlook.before.len(), before.len());
        assert!(outlook.steps[0].gain.unwrap().value.abs() < 1e-12 && outlook.steps[0].helps.abs() < 1e-12);
        if let [Some(none), Some(four), Some(fifteen)] = [0, 1, 2].map(|at| outlook.steps[at].before.first()) {
            let gain = |gained: &crate::pile::Gained| gained.gain.unwrap().value;
            assert!(gain(none).abs() < 1e-12 && gain(four) >= 0.0 && gain(fifteen) >= gain(four));
        }
    }
}

/// Two of three positions are filled for nothing; the third costs 300 now. A free part does away with that at once, a dear one never.
#[test]
fn a_wish_is_about_what_counts_first() {
    let pile = shop(&[0], 0, None);
    assert_eq!(pile.worth().unwrap().before, [300.0]);
    assert_eq!(pile.needs(0.0, 50, FEW).unwrap().likely, Need::More(1));
    assert_eq!(pile.needs(300.0, 50, FEW).unwrap().likely, Need::None);
    let dear = shop(&[0], 301, None);
    assert_eq!(dear.needs(0.0, 50, FEW).unwrap().likely, Need::OutOfReach { most: 50 });
    // Money before the aim: what is free may be less even than what was paid for.
    let step = pile.outlook(&[1], FEW).unwrap().steps.remove(0);
    assert!(step.gain.unwrap().low < 0.0 && (step.helps - 1.0).abs() < 1e-12);
}

/// Nothing can be paid for now; with a free part in the pile it can.
#[test]
fn what_may_be_spent_may_leave_no_plan_yet() {
    let pile = shop(&[], 0, Some(299));
    assert_eq!((pile.now(), pile.worth()), (None, None));
    let outlook = pile.outlook(&[0, 1], FEW).unwrap();
    assert!(outlook.steps[0].fillable.abs() < 1e-12 && outlook.steps[0].value.is_none());
    assert!((outlook.steps[1].fillable - 1.0).abs() < 1e-12 && outlook.steps[1].gain.is_none());
    let dear = shop(&[], 300, Some(299)).outlook(&[9], FEW).unwrap();
    assert!(dear.steps[0].fillable.abs() < 1e-12);
}
