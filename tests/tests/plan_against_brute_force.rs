//! Whole plans against every assignment, and every fit against its second derivation.

use pairwright_engine::job::{Column, Columns, FitName, Goal, Job, LimitAsked, Measured, Pin};
use pairwright_engine::outcome::{Outcome, Planned, match_job};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_tests::{brute, build, derive, no_plan};
use proptest::prelude::*;

/// A job where one control piston was read in every cylinder and every piston in one cylinder.
fn control_job(pistons: &[i64], cylinders: &[i64]) -> Job {
    let mut job = build::job(cylinders.len(), pistons.len());
    let control = (0..cylinders.len()).map(|cylinder| (cylinder, 0, pistons[0] + cylinders[cylinder]));
    let others = (1..pistons.len()).map(|piston| (0, piston, pistons[piston] + cylinders[0]));
    job.deck = Some(build::readings(&control.chain(others).collect::<Vec<_>>()));
    job
}

fn grams(tenths: i64) -> Amount {
    Amount::new(tenths * 1_000, Unit::Gram, 1)
}

fn planned(job: &Job) -> Option<Planned> {
    match match_job(job, None).expect("the checker accepts the answer").matches.remove(0).outcome {
        Outcome::Planned(planned) => Some(*planned),
        Outcome::Impossible(why) => {
            no_plan::assert_proven(job, &why.no_plan);
            None
        }
        Outcome::Undecided => panic!("no search of so few parts ends early"),
        Outcome::Missing(lacks) => panic!("nothing is missing: {lacks:?}"),
    }
}

fn value(planned: &Planned, position: usize, fit: FitName) -> i64 {
    let fits = &planned.plan.placements[position].fits;
    fits.iter().find(|value| value.fit == fit).expect("predicted").estimate.value
}

fn spread(values: impl Iterator<Item = i64> + Clone) -> i64 {
    values.clone().max().unwrap_or(0) - values.min().unwrap_or(0)
}

fn squares(values: impl Iterator<Item = i64>) -> i128 {
    let values: Vec<i128> = values.map(i128::from).collect();
    let total: i128 = values.iter().sum();
    values.len() as i128 * values.iter().map(|v| v * v).sum::<i128>() - total * total
}

fn effects(count: std::ops::RangeInclusive<usize>) -> impl Strategy<Value = Vec<i64>> {
    prop::collection::vec(-40_i64..40, count).prop_map(|v| v.into_iter().map(|x| x * 2_540).collect())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    /// Least spread, then least squares, with a limit on the mass spread and a barred pair.
    #[test]
    fn prop_the_most_even_plan_is_the_best_of_all(
        pistons in effects(4..=7),
        cylinders in effects(2..=4),
        masses in prop::collection::vec(6_000_i64..6_060, 7),
        width in 5_i64..60,
        barred in any::<bool>(),
    ) {
        let mut job = control_job(&pistons, &cylinders);
        let values: Vec<_> = masses.iter().take(pistons.len()).map(|&mass| grams(mass)).collect();
        job.stocks[0].columns = Columns::new(vec![build::column("mass", &values)]);
        job.matches[0].limits.push(LimitAsked {
            fit: FitName::Mass, min: None, max: None, spread: Some(grams(width)), neighbours: None, guard: false, line: 1,
        });
        if barred {
            job.matches[0].bar.push(Pin { position: 0, part: 1, role: 0 });
        }
        let allowed: Vec<Vec<bool>> = (0..cylinders.len())
            .map(|position| (0..pistons.len()).map(|part| !(barred && position == 0 && part == 1)).collect())
            .collect();
        let best = brute::least(&allowed, |chosen| {
            let heavy = spread(chosen.iter().map(|&part| masses[part])) > width;
            let values = || chosen.iter().enumerate().map(|(position, &part)| pistons[part] + cylinders[position]);
            (heavy, spread(values()), squares(values()))
        }).filter(|(heavy, ..)| !heavy);
        let found = planned(&job).map(|planned| {
            let values: Vec<i64> = (0..cylinders.len()).map(|position| value(&planned, position, FitName::Deck)).collect();
            (false, planned.plan.summary.spread, squares(values.into_iter()))
        });
        prop_assert_eq!(found, best);
    }

    /// Every fit of a plan equals its second derivation; deck clearance to the rounding of its two effects.
    #[test]
    fn prop_fits_agree_with_the_second_derivation(
        pistons in effects(3..=5),
        cylinders in effects(2..=3),
        noise in prop::collection::vec(-3_i64..3, 60),
        repeats in 1_usize..3,
    ) {
        let mut job = build::job(cylinders.len(), pistons.len());
        let pairs = (0..cylinders.len()).flat_map(|cylinder| (0..pistons.len()).map(move |piston| (cylinder, piston)));
        let rows: Vec<_> = pairs
            .filter(|(cylinder, piston)| (cylinder + piston) % 3 != 2)
            .flat_map(|pair| std::iter::repeat_n(pair, repeats))
            .zip(&noise)
            .map(|((cylinder, piston), noise)| (cylinder, piston, pistons[piston] + cylinders[cylinder] + noise * 2_540))
            .collect();
        job.deck = Some(build::readings(&rows));
        let bores: Vec<_> = (0_i64..).take(cylinders.len()).map(|j| build::nm(87_200_000 + 1_000 * j)).collect();
        let diameters: Vec<_> = (0_i64..).take(pistons.len()).map(|i| build::nm(87_160_000 + 700 * i)).collect();
        let masses: Vec<_> = (0_i64..).take(pistons.len()).map(|i| grams(6_000 + i)).collect();
        job.positions[0].columns = Columns::new(vec![build::column("bore", &bores)]);
        job.stocks[0].columns = Columns::new(vec![build::column("diameter", &diameters), build::column("mass", &masses)]);
        let second = derive::deck(&job);
        if let Some(planned) = planned(&job) {
            for (position, placement) in planned.plan.placements.iter().enumerate() {
                let part = placement.parts[0];
                let expected = second[position][part].expect("a placed pair is tied");
                let found = value(&planned, position, FitName::Deck);
                prop_assert!((found as f64 - expected).abs() <= 1.001, "{} {}", found, expected);
                prop_assert_eq!(Some(value(&planned, position, FitName::Skirt)), derive::skirt(&job, position, part));
                prop_assert_eq!(Some(value(&planned, position, FitName::Mass)), derive::mass(&job, part));
            }
        }
    }

    /// Every aim against every assignment.
    #[test]
    fn prop_every_aim_is_exact(pistons in effects(4..=6), cylinders in effects(2..=4), target in -40_i64..40, aim in 0_usize..8) {
        let mut job = control_job(&pistons, &cylinders);
        let target = target * 2_540;
        let near = Goal::Near(build::nm(target));
        let aims = [
            (Goal::Even, Measured::Spread), (Goal::Even, Measured::Squares),
            (near, Measured::Worst), (near, Measured::Squares),
            (Goal::Highest, Measured::Total), (Goal::Highest, Measured::Extreme),
            (Goal::Lowest, Measured::Total), (Goal::Lowest, Measured::Extreme),
        ];
        (job.matches[0].aim.goal, job.matches[0].aim.by) = aims[aim];
        let cost = |values: &[i64]| -> i128 {
            let each = || values.iter().map(|&v| i128::from(v));
            match aim {
                0 => i128::from(spread(values.iter().copied())),
                1 => squares(values.iter().copied()),
                2 => each().map(|v| (v - i128::from(target)).abs()).max().unwrap_or(0),
                3 => each().map(|v| (v - i128::from(target)).pow(2)).sum(),
                4 => -each().sum::<i128>(),
                5 => -each().min().unwrap_or(0),
                6 => each().sum(),
                _ => each().max().unwrap_or(0),
            }
        };
        let allowed = vec![vec![true; pistons.len()]; cylinders.len()];
        let best = brute::least(&allowed, |chosen| {
            let values: Vec<i64> = chosen.iter().enumerate().map(|(j, &i)| pistons[i] + cylinders[j]).collect();
            (cost(&values), spread(values.iter().copied()))
        });
        let planned = planned(&job).expect("nothing forbids a plan");
        let values: Vec<i64> = (0..cylinders.len()).map(|j| value(&planned, j, FitName::Deck)).collect();
        prop_assert_eq!(Some((cost(&values), spread(values.iter().copied()))), best);
    }
}

/// Columns that no fit uses do not disturb a plan.
#[test]
fn an_idle_column_changes_nothing() {
    let mut job = control_job(&[0, 2_540, 5_080], &[0, 2_540]);
    let before = planned(&job).expect("a plan").plan.summary.spread;
    job.stocks[0].columns = Columns::new(vec![Column { name: "dish".to_owned(), values: vec![None; 3] }]);
    assert_eq!(planned(&job).expect("a plan").plan.summary.spread, before);
    assert_eq!(before, 0);
}
