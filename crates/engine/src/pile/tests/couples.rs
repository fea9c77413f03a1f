//! A part of each of two kinds a position, against every way to put them together.

use proptest::prelude::*;

use super::{EVERY, measured_ticks};
use crate::job::Next;
use crate::pile::affine::Affine;
use crate::pile::buying::{Bought, Shelf};
use crate::pile::couples::{Couples, Layer};
use crate::pile::guarded::Guarded;
use crate::pile::learned::Learned;
use crate::pile::solve::{Choice, best as best_of};
use crate::pile::{Drawing, Numbers, Pile, Sought};

/// What a position brings, the growing part and the other together.
fn couples(
    effects: &[i64],
    stock: &[i64],
    others: &[i64],
    least: Option<i64>,
    [widest, apart]: [Option<i64>; 2],
) -> Couples {
    let mut cells = Vec::new();
    for effect in effects {
        for part in stock {
            let values = others.iter().map(|other| effect + part + other);
            cells.extend(values.map(|value| least.is_none_or(|least| value >= least).then_some(value)));
        }
    }
    let line = |effect: &i64, other: &i64| Some(Affine { offset: (effect + other) as f64, factors: vec![1.0] });
    let by_numbers = effects.iter().flat_map(|effect| others.iter().map(move |other| line(effect, other))).collect();
    let guard = |slot: usize| Guarded { slot, layer: 0, low: least.unwrap_or(i64::MIN) as f64, high: f64::INFINITY };
    Couples {
        slots: effects.len(),
        parts: stock.len(),
        others: others.len(),
        layers: vec![Layer { stock: cells, by_numbers }],
        guards: (0..effects.len()).map(guard).collect(),
        takes_further: vec![true; effects.len()],
        takes_other: vec![true; effects.len() * others.len()],
        widths: widest.map(|widest| (0, widest)).into_iter().collect(),
        apart: apart.map(|apart| (0, apart)).into_iter().collect(),
        neighbours: (1..effects.len()).map(|at| (at - 1, at)).collect(),
        bought: Bought::default(),
    }
}

/// What is done with the values of every way to fill the positions, and the two parts of each.
type Found<'f> = dyn FnMut(&[i64], &[[usize; 2]]) + 'f;

fn every(effects: &[i64], kinds: [&[i64]; 2], used: &mut Vec<[usize; 2]>, found: &mut Found<'_>) {
    if used.len() == effects.len() {
        let values = effects.iter().zip(used.iter());
        let values: Vec<i64> =
            values.map(|(effect, [one, other])| effect + kinds[0][*one] + kinds[1][*other]).collect();
        return found(&values, used);
    }
    for one in 0..kinds[0].len() {
        for other in 0..kinds[1].len() {
            if used.iter().all(|[a, b]| *a != one && *b != other) {
                used.push([one, other]);
                every(effects, kinds, used, found);
                used.pop();
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(80))]

    #[test]
    fn prop_couples_are_those_of_trying_everything(
        effects in prop::collection::vec(-40_i64..40, 1..4),
        parts in prop::collection::vec(800_i64..900, 1..6),
        others in prop::collection::vec(180_i64..230, 1..5),
        split in 0_usize..6,
        least in prop::option::of(1_000_i64..1_080),
        (widest, apart) in (prop::option::of(10_i64..90), prop::option::of(5_i64..60)),
    ) {
        let (stock, further) = parts.split_at(split.min(parts.len()));
        let fit = Learned::of_couples(couples(&effects, stock, &others, least, [widest, apart]));
        let numbers = |parts: &[i64]| Numbers::single(parts.iter().map(|&part| part as f64).collect());
        let (stock, further) = (numbers(stock), numbers(further));
        for sought in EVERY {
            let mut known: Option<f64> = None;
            every(&effects, [&parts, &others], &mut Vec::new(), &mut |values, _| {
                let spread = values.iter().max().unwrap() - values.iter().min().unwrap();
                let holds = values.iter().all(|&value| least.is_none_or(|least| value >= least))
                    && widest.is_none_or(|widest| spread <= widest)
                    && values.windows(2).all(|two| apart.is_none_or(|apart| (two[0] - two[1]).abs() <= apart));
                let value = measured_ticks(sought, values);
                if holds && known.is_none_or(|known| sought.gain(known, value) > 0.0) {
                    known = Some(value);
                }
            });
            let found = best_of(&fit, Choice { stock: &stock, further: &further }, sought).unwrap();
            prop_assert!(found.is_proven);
            prop_assert_eq!(found.aim().is_some(), known.is_some(), "{:?}", sought);
            if let (Some(found), Some(known)) = (found.aim(), known) {
                prop_assert!((found - known).abs() < 1e-6, "{:?}: {} {}", sought, found, known);
            }
        }
    }
}

/// The totals before the aim, counted from the prices as they are written.
fn totals(bought: &Bought, used: &[[usize; 2]], parts: usize) -> (Vec<i64>, i64) {
    let of = |shelf: &[Option<i64>], part: usize| shelf[part];
    let prices = |[one, other]: [usize; 2]| {
        let own = if one < parts { of(&bought.own.prices, one) } else { bought.further };
        [own, of(&bought.other.prices, other)]
    };
    let moved = |(at, &[one, other]): (usize, &[usize; 2])| {
        let own = one >= parts || bought.own.stands[one] != Some(at);
        i64::from(own) + i64::from(bought.other.moves && bought.other.stands[other] != Some(at))
    };
    let all = || used.iter().flat_map(|&both| prices(both)).flatten();
    let total = |(next, set): (&Next, &i64)| {
        set + match next {
            Next::Price => all().sum::<i64>(),
            Next::Bought => all().map(|_| 1).sum(),
            Next::Moves => used.iter().enumerate().map(moved).sum(),
            Next::Spread(_) => 0,
        }
    };
    (bought.before.iter().zip(&bought.set).map(total).collect(), all().sum())
}

fn prices(most: usize) -> impl Strategy<Value = Vec<Option<i64>>> {
    prop::collection::vec(prop::option::weighted(0.6, 0_i64..6), most)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn prop_money_and_moves_of_both_kinds_before_the_aim_are_those_of_trying_everything(
        effects in prop::collection::vec(-40_i64..40, 1..4),
        parts in prop::collection::vec(800_i64..900, 2..6),
        others in prop::collection::vec(180_i64..230, 1..5),
        split in 0_usize..6,
        limits in (prop::option::of(1_000_i64..1_080), prop::option::of(10_i64..90), prop::option::of(5_i64..60)),
        prices in (prices(6), prices(5), prop::option::of(0_i64..4)),
        stands in (Just(vec![Some(0), Some(1), Some(2), None, None, None]).prop_shuffle(),
                   Just(vec![Some(0), Some(1), None, None, Some(2)]).prop_shuffle(), any::<bool>()),
        before in Just(vec![Next::Price, Next::Bought, Next::Moves]).prop_shuffle(),
        (many, set, spend) in (0_usize..4, prop::collection::vec(0_i64..9, 3), prop::option::of(-1_i64..14)),
    ) {
        let (stock, further) = parts.split_at(split.min(parts.len()));
        let bought = Bought {
            before: before[..many].to_vec(),
            spend,
            further: prices.2,
            own: Shelf { prices: prices.0, stands: stands.0, moves: true },
            other: Shelf { prices: prices.1, stands: stands.1, moves: stands.2 },
            set: set[..many].to_vec(),
        };
        let couples = couples(&effects, stock, &others, limits.0, [limits.1, limits.2]);
        let fit = Learned::of_couples(Couples { bought: bought.clone(), ..couples });
        let numbers = |parts: &[i64]| Numbers::single(parts.iter().map(|&part| part as f64).collect());
        let (known, drawn) = (numbers(stock), numbers(further));
        for sought in EVERY {
            let mut best: Option<(Vec<i64>, f64)> = None;
            every(&effects, [&parts, &others], &mut Vec::new(), &mut |values, used| {
                let spread = values.iter().max().unwrap() - values.iter().min().unwrap();
                let (totals, spent) = totals(&bought, used, stock.len());
                let holds = values.iter().all(|&value| limits.0.is_none_or(|least| value >= least))
                    && limits.1.is_none_or(|widest| spread <= widest)
                    && values.windows(2).all(|two| limits.2.is_none_or(|apart| (two[0] - two[1]).abs() <= apart))
                    && spend.is_none_or(|most| spent <= most);
                let value = measured_ticks(sought, values);
                let is_better = best.as_ref().is_none_or(|(known, aim)| {
                    totals < *known || totals == *known && sought.gain(*aim, value) > 0.0
                });
                if holds && is_better {
                    best = Some((totals, value));
                }
            });
            let found = best_of(&fit, Choice { stock: &known, further: &drawn }, sought).unwrap();
            prop_assert!(found.is_proven);
            prop_assert_eq!(found.worth.is_some(), best.is_some(), "{:?}", sought);
            if let (Some(found), Some((totals, aim))) = (found.worth, best) {
                let totals: Vec<f64> = totals.into_iter().map(|total| total as f64).collect();
                prop_assert_eq!(&found.before, &totals, "{:?}", sought);
                prop_assert!((found.aim - aim).abs() < 1e-6, "{:?}: {} {}", sought, found.aim, aim);
            }
        }
    }
}

#[test]
fn more_parts_of_one_kind_are_never_worse_and_the_same_seed_says_the_same() {
    let stock = [861, 844, 902, 877, 850, 869, 893];
    let others = [201, 214, 190, 208, 222];
    let few = Drawing { seed: 4, futures: 40 };
    for sought in EVERY {
        let fit = Learned::of_couples(couples(&[0, 12, -20, 31], &stock, &others, None, [None, None]));
        let numbers = Numbers::single(stock.map(|part| part as f64).to_vec());
        let pile = Pile::new(fit, numbers, sought).unwrap();
        let outlook = pile.outlook(&[0, 2, 9], few).unwrap();
        assert_eq!(outlook, pile.outlook(&[0, 2, 9], few).unwrap());
        let gains: Vec<f64> = outlook.steps.iter().map(|step| step.gain.unwrap().value).collect();
        assert!(gains[0].abs() < 1e-9 && gains[1] >= 0.0 && gains[2] >= gains[1], "{sought:?}: {gains:?}");
        assert!(outlook.steps.iter().all(|step| step.unproven.abs() < 1e-12), "{sought:?}");
    }
}

/// Searches that end early are counted, and the present plan stays where they met nothing better.
#[test]
fn what_is_not_proven_is_said_and_never_worse_than_now() {
    let stock = [861, 844, 902, 877, 850, 869, 893, 840, 866];
    let others = [201, 214, 190, 208, 222, 199, 205, 217];
    let effects = [0, 12, -20, 31, 7, -9, 18];
    let few = Drawing { seed: 4, futures: 40 };
    let fit = Learned::of_couples(couples(&effects, &stock, &others, None, [None, Some(12)]));
    let numbers = Numbers::single(stock.map(|part| part as f64).to_vec());
    let pile = Pile::new(fit, numbers, Sought::HIGHEST).unwrap();
    let step = pile.outlook(&[8], few).unwrap().steps.remove(0);
    assert!(step.unproven > 0.0, "the search is through: take a harder one");
    let futures = pile.futures(8, few).unwrap();
    let now = pile.worth().unwrap();
    assert!(futures.iter().all(|found| !now.betters(found.worth.as_ref().unwrap(), Sought::HIGHEST)));
}
