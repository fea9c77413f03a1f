//! Two parts a position, against every way to put them together.

use pairwright_assign::Slot;
use pairwright_proof::Roles;
use proptest::prelude::*;

use super::{EVERY, measured_ticks};
use crate::pile::affine::Affine;
use crate::pile::buying::Bought;
use crate::pile::guarded::Guarded;
use crate::pile::learned::Learned;
use crate::pile::solve::{Choice, best};
use crate::pile::together::{Layer, Sum, Together};
use crate::pile::{Drawing, Numbers, Pile, PileError, Sought};

/// A clearance is what a position brings less both parts; the second layer is twice as wide, for a limit on its spread.
fn together(effects: &[i64], stock: &[i64], least: Option<i64>, widest: Option<i64>, apart: Option<i64>) -> Together {
    let cell = |times: i64, position: usize, place: usize| {
        let (one, other) = (place / stock.len(), place % stock.len());
        let value = effects[position] - stock[one] - stock[other];
        (one < other && least.is_none_or(|least| value >= least)).then_some(times * value)
    };
    let layer = |times: i64| {
        let cells = (0..effects.len()).flat_map(|at| (0..stock.len() * stock.len()).map(move |place| (at, place)));
        // Both other parts being one of 100.
        let by_numbers = effects.iter().map(|&effect| {
            let base = (times * (effect - 200)) as f64;
            let line = Affine { offset: (times * (effect - 100)) as f64, factors: vec![-times as f64] };
            Some(Sum { base, lines: vec![line.clone(), line] })
        });
        Layer { stock: cells.map(|(at, place)| cell(times, at, place)).collect(), by_numbers: by_numbers.collect() }
    };
    let guard = |slot: usize| Guarded { slot, layer: 0, low: least.unwrap_or(i64::MIN) as f64, high: f64::INFINITY };
    let slot = |at: usize| Slot::new(u32::try_from(at).unwrap());
    Together {
        slots: effects.len(),
        each: 2,
        roles: Roles::Alike,
        parts: stock.len(),
        layers: vec![layer(1), layer(2)],
        guards: (0..effects.len()).map(guard).collect(),
        takes: vec![true; effects.len() * 2 * stock.len()],
        takes_further: vec![true; effects.len() * 2],
        widths: widest.map(|widest| (1, 2 * widest)).into_iter().collect(),
        apart: apart.map(|apart| (0, apart)).into_iter().collect(),
        neighbours: (1..effects.len()).map(|at| (slot(at - 1), slot(at))).collect(),
        bought: Bought::default(),
    }
}

/// The values of every way to put parts together.
fn every(effects: &[i64], parts: &[i64], used: &mut Vec<usize>, values: &mut Vec<i64>, found: &mut dyn FnMut(&[i64])) {
    let Some(effect) = effects.get(values.len()) else { return found(values) };
    for one in 0..parts.len() {
        for other in one + 1..parts.len() {
            if !used.contains(&one) && !used.contains(&other) {
                used.extend([one, other]);
                values.push(effect - parts[one] - parts[other]);
                every(effects, parts, used, values, found);
                values.pop();
                used.truncate(used.len() - 2);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]

    #[test]
    fn prop_bundles_are_those_of_trying_everything(
        effects in prop::collection::vec(1_200_i64..1_320, 1..4),
        parts in prop::collection::vec(80_i64..120, 3..8),
        split in 2_usize..8,
        least in prop::option::of(1_000_i64..1_080),
        (widest, apart) in (prop::option::of(10_i64..90), prop::option::of(5_i64..60)),
    ) {
        let (stock, further) = parts.split_at(split.min(parts.len()));
        let fit = Learned::of_bundles(together(&effects, stock, least, widest, apart));
        let numbers = |parts: &[i64]| Numbers::single(parts.iter().map(|&part| part as f64).collect());
        let (stock, further) = (numbers(stock), numbers(further));
        for sought in EVERY {
            let mut known: Option<f64> = None;
            every(&effects, &parts, &mut Vec::new(), &mut Vec::new(), &mut |values| {
                let spread = values.iter().max().unwrap() - values.iter().min().unwrap();
                let holds = values.iter().all(|&value| least.is_none_or(|least| value >= least))
                    && widest.is_none_or(|widest| spread <= widest)
                    && values.windows(2).all(|two| apart.is_none_or(|apart| two[0].abs_diff(two[1]) <= apart.unsigned_abs()));
                let value = measured_ticks(sought, values);
                if holds && known.is_none_or(|known| sought.gain(known, value) > 0.0) {
                    known = Some(value);
                }
            });
            let found = best(&fit, Choice { stock: &stock, further: &further }, sought).unwrap();
            prop_assert!(found.is_proven);
            prop_assert_eq!(found.aim().is_some(), known.is_some(), "{:?}", sought);
            if let (Some(found), Some(known)) = (found.aim(), known) {
                prop_assert!((found - known).abs() < 1e-6, "{:?}: {} {}", sought, found, known);
            }
        }
    }
}

const STOCK: [i64; 8] = [96, 103, 99, 110, 101, 92, 105, 98];

fn pile(sought: Sought) -> Pile<Learned> {
    let fit = Learned::of_bundles(together(&[1_250, 1_262, 1_241], &STOCK, None, None, None));
    Pile::new(fit, Numbers::single(STOCK.map(|part| part as f64).to_vec()), sought).unwrap()
}

#[test]
fn more_parts_are_never_worse_and_the_same_seed_says_the_same() {
    let few = Drawing { seed: 4, futures: 40 };
    for sought in EVERY {
        let pile = pile(sought);
        let outlook = pile.outlook(&[0, 2, 9], few).unwrap();
        assert_eq!(outlook, pile.outlook(&[0, 2, 9], few).unwrap());
        let gains: Vec<f64> = outlook.steps.iter().map(|step| step.gain.unwrap().value).collect();
        assert!(gains[0].abs() < 1e-9 && gains[1] >= 0.0 && gains[2] >= gains[1], "{sought:?}: {gains:?}");
        assert!(outlook.steps.iter().all(|step| step.unproven.abs() < 1e-12));
    }
}

#[test]
fn more_than_bundles_can_be_listed_of_is_refused() {
    let pile = pile(Sought::EVEN);
    assert_eq!(pile.farthest(), 120);
    let too_many = pile.outlook(&[121], Drawing { seed: 1, futures: 40 });
    assert!(matches!(too_many, Err(PileError::TooManyTogether { most: 120 })));
}
