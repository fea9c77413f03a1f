//! What must hold of any outlook.

use super::{EVERY, deck, normal_stock, two_batches};
use crate::pile::futures::Future;
use crate::pile::solve::{Choice, kept};
use crate::pile::{Drawing, Fitting, How, Line, NormalSample, Numbers, Pile, PileError, Population, Sought};

const FEW: Drawing = Drawing { seed: 4, futures: 60 };

#[test]
fn more_parts_are_never_worse_and_the_same_seed_says_the_same() {
    for stock in [normal_stock(11, 1), two_batches(24)] {
        for sought in EVERY {
            let pile = deck(&[0.0, 30.0, -55.0, 12.0], stock.clone(), sought);
            let outlook = pile.outlook(&[0, 3, 12, 40], FEW).unwrap();
            assert_eq!(outlook, pile.outlook(&[0, 3, 12, 40], FEW).unwrap());
            let gains: Vec<f64> = outlook.steps.iter().map(|step| step.gain.unwrap().value).collect();
            assert!(gains[0].abs() < 1e-9, "{sought:?}: {gains:?}");
            assert!(gains.windows(2).all(|two| two[1] >= two[0]), "{sought:?}: {gains:?}");
            assert!(gains[3] > 0.0, "{sought:?}: {gains:?}");
            for step in &outlook.steps {
                let (value, gain) = (step.value.unwrap(), step.gain.unwrap());
                assert!((sought.gain(outlook.now.unwrap(), value.value) - gain.value).abs() < 1e-6);
                assert!(gain.low <= gain.high && value.low <= value.high);
            }
        }
    }
}

/// The integrated expectation and the mean of the futures it stands for are two ways to the same number.
#[test]
fn an_integrated_expectation_is_the_mean_of_the_drawn_ones() {
    for (sign, sought) in
        [(1.0, Sought::HIGHEST), (-1.0, Sought::HIGHEST), (1.0, Sought::LOWEST), (2.0, Sought::LOWEST)]
    {
        let effects = [5.0, -20.0, 40.0];
        let stock = normal_stock(15, 8);
        let line = Line::new(effects.map(|effect| (effect, sign)));
        let limited = line.clone().within(Some(-1e9), None);
        let drawing = Drawing { seed: 2, futures: 4_000 };
        let integrated =
            Pile::new(line, Numbers::single(stock.clone()), sought).unwrap().outlook(&[1, 30], drawing).unwrap();
        // A limit that rules nothing out takes the way through the solver.
        let drawn = Pile::new(limited, Numbers::single(stock), sought).unwrap().outlook(&[1, 30], drawing).unwrap();
        for (one, other) in integrated.steps.iter().zip(&drawn.steps) {
            assert_eq!((one.how, other.how), (How::Integrated, How::Drawn));
            let (exact, mean) = (one.gain.unwrap(), other.gain.unwrap());
            assert!((exact.value - mean.value).abs() < 4.0 * other.error, "{exact:?} {mean:?} {}", other.error);
            assert!(one.error < other.error);
            // The futures are the same; only rounding to whole ticks is between them.
            assert!((exact.low - mean.low).abs() <= 3.0 && (exact.high - mean.high).abs() <= 3.0);
        }
    }
}

/// Over many stocks, each with its own luck, the best of stock and further parts together are what the order statistics of all of
/// them say.
#[test]
fn on_average_over_stocks_the_order_statistics_hold() {
    let (parts, more, stocks) = (300, 300, 300_u32);
    let drawing = Drawing { seed: 3, futures: 40 };
    let value = |seed: u64| {
        let pile = deck(&[0.0; 4], normal_stock(parts, 100 + seed), Sought::HIGHEST);
        pile.outlook(&[more], drawing).unwrap().steps[0].value.unwrap().value
    };
    let found = (0..stocks).map(|stock| value(stock.into())).sum::<f64>() / f64::from(stocks);
    let expected = |count| 4_000.0 + 100.0 * NormalSample::of(count).sum_of_largest(4);
    let (known, without) = (expected(parts + more), expected(parts));
    // Single stocks scatter by about 100: the mean of 300 by 6.
    assert!((found - known).abs() < 20.0, "{found} {known}");
    assert!(known - without > 80.0, "{known} {without}");
}

#[test]
fn parts_that_do_not_fill_the_positions_may_do_so_later() {
    let pile = deck(&[0.0; 6], normal_stock(5, 2), Sought::EVEN);
    assert_eq!(pile.now(), None);
    let outlook = pile.outlook(&[0, 1, 9], FEW).unwrap();
    let [none, one, nine] = &outlook.steps[..] else { panic!("three were asked for") };
    assert!(none.fillable.abs() < 1e-12 && none.value.is_none() && none.helps.abs() < 1e-12);
    assert!((one.fillable - 1.0).abs() < 1e-12 && one.gain.is_none() && (one.helps - 1.0).abs() < 1e-12);
    assert!(nine.value.unwrap().value < one.value.unwrap().value);
}

#[test]
fn a_limit_leaves_some_futures_without_a_plan() {
    let stock = normal_stock(8, 3);
    let line = Line::adding([0.0, 0.0, 0.0]).within(Some(1_120.0), None);
    let pile = Pile::new(line, Numbers::single(stock), Sought::EVEN).unwrap();
    let outlook = pile.outlook(&[4, 60], Drawing::of_seed(1)).unwrap();
    let fillable: Vec<f64> = outlook.steps.iter().map(|step| step.fillable).collect();
    assert!(fillable[0] < fillable[1] && fillable[1] > 0.5, "{fillable:?}");
}

#[test]
fn a_shift_and_a_scale_of_all_parts_go_through() {
    let stock = normal_stock(14, 5);
    let moved: Vec<f64> = stock.iter().map(|value| 3.0 * value + 70_000.0).collect();
    for sought in [Sought::EVEN, Sought::HIGHEST, Sought::LOWEST_BY_GREATEST] {
        let effects = [0.0, 40.0, -10.0];
        let gain = |pile: Pile<Line>| pile.outlook(&[20], FEW).unwrap().steps[0].gain.unwrap().value;
        let one = gain(deck(&effects, stock.clone(), sought));
        let other = gain(deck(&effects.map(|effect| 3.0 * effect), moved.clone(), sought));
        // Rounding to whole ticks is a third as coarse in the second.
        assert!((3.0 * one - other).abs() < 4.0, "{sought:?}: {one} {other}");
    }
}

#[test]
fn what_is_kept_turns_with_the_sense() {
    let stock = Numbers::single(vec![3.0, 9.0, 4.0]);
    let parts = Choice { stock: &stock, further: &Numbers::default() };
    assert_eq!(kept(parts, 2, 1.0, Sought::HIGHEST), Some(vec![9.0, 4.0]));
    assert_eq!(kept(parts, 2, 1.0, Sought::LOWEST), Some(vec![-3.0, -4.0]));
    assert_eq!(kept(parts, 2, -2.0, Sought::HIGHEST), Some(vec![-6.0, -8.0]));
    assert_eq!(kept(parts, 4, 1.0, Sought::HIGHEST), None);
}

#[test]
fn odd_questions_are_refused() {
    let stock = normal_stock(9, 1);
    let nowhere = Pile::new(Line::adding([]), Numbers::single(stock.clone()), Sought::EVEN);
    assert!(matches!(nowhere, Err(PileError::NoPositions)));
    let few = deck(&[0.0], stock, Sought::EVEN).outlook(&[1], Drawing { seed: 1, futures: 39 });
    assert!(matches!(few, Err(PileError::TooFewDraws { draws: 39, fewest: 40 })));
    let enormous = Pile::new(Line::adding([0.0]), Numbers::single(vec![1e300, -1e300, 2e300, 0.0]), Sought::EVEN);
    assert!(matches!(enormous, Err(PileError::NoNumber { .. })));
}

/// A free fit of our own: lift as lobe × ratio less lash, the ratio in millionths.
struct Lift {
    lobes: Vec<f64>,
}

impl Fitting for Lift {
    fn positions(&self) -> usize {
        self.lobes.len()
    }

    fn value(&self, position: crate::readings::PositionId, part: &[f64]) -> Option<f64> {
        let lift = self.lobes.get(position.index())? * part.first()? * 1e-6 - 150_000.0;
        (lift <= 12_700_000.0).then_some(lift)
    }
}

#[test]
fn the_fit_may_be_any_function_of_the_parts_number() {
    let ratios: Vec<f64> = normal_stock(20, 4).iter().map(|value| 1_500_000.0 + 40.0 * (value - 1_000.0)).collect();
    let pile =
        Pile::new(Lift { lobes: vec![8_500_000.0, 8_480_000.0] }, Numbers::single(ratios), Sought::HIGHEST).unwrap();
    let step = pile.outlook(&[50], FEW).unwrap().steps.remove(0);
    assert_eq!(step.how, How::Drawn);
    assert!(step.gain.unwrap().value > 0.0);
    // Two valves under a cap of 12.7 mm cannot come to more than twice the cap.
    assert!(step.value.unwrap().high <= 25_400_000.0);
}

#[test]
fn futures_do_not_depend_on_what_is_sought() {
    let population = Population::of(&Numbers::single(normal_stock(9, 1))).unwrap();
    let one = Future::new(&population, 1, 0).parts(3);
    assert_eq!(one, Future::new(&population, 1, 0).parts(3));
    assert_ne!(one, Future::new(&population, 2, 0).parts(3));
}
