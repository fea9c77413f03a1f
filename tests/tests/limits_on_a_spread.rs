//! A guarded limit on the spread of deck clearance, whose guard band differs from pair to pair.

use pairwright_engine::job::{Columns, FitName, LimitAsked};
use pairwright_engine::limit::{Factor, band};
use pairwright_engine::outcome::{Outcome, match_job};
use pairwright_engine::plan::{LimitState, Standing};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_engine::reduction::Pair;
use pairwright_engine::reduction::Reduction;
use pairwright_engine::statistics::Risk;
use pairwright_tests::{brute, build, no_plan};
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// What is called proven is the best of all plans that hold the limit by their own bands; what is
    /// called impossible without a reservation has no such plan; and every plan given holds its limit.
    #[test]
    fn prop_proven_and_impossible_are_meant(
        pistons in prop::collection::vec(-30_i64..30, 4..=6),
        cylinders in prop::collection::vec(-30_i64..30, 2..=3),
        masses in prop::collection::vec(6_000_i64..6_060, 6),
        repeats in prop::collection::vec(1_usize..4, 6),
        width in 20_i64..400,
    ) {
        let mut job = build::job(cylinders.len(), pistons.len());
        let control = (0..cylinders.len()).map(|j| (j, 0, (pistons[0] + cylinders[j]) * 2_540));
        let others = (1..pistons.len()).flat_map(|i| {
            std::iter::repeat_n((0, i, (pistons[i] + cylinders[0]) * 2_540), repeats[i])
        });
        let mut deck = build::readings(&control.chain(others).collect::<Vec<_>>());
        deck.repeatability = Some(build::nm(20_000));
        job.deck = Some(deck);
        let grams = |tenths: i64| Amount::new(tenths * 1_000, Unit::Gram, 1);
        let column: Vec<_> = masses.iter().take(pistons.len()).map(|&mass| grams(mass)).collect();
        job.stocks[0].columns = Columns::new(vec![build::column("mass", &column)]);
        job.matches[0] = build::most_even(FitName::Mass);
        let spread = Some(build::nm(width * 1_000));
        job.matches[0].limits.push(LimitAsked { fit: FitName::Deck, min: None, max: None, spread, neighbours: None, guard: true, line: 1 });

        let reduction = Reduction::new(&job, job.deck.as_ref().expect("readings"), &[]).expect("sound readings");
        let factor = Factor::new(Risk::ONE_IN_40);
        let holds = |chosen: &[usize]| {
            let pairs: Vec<Pair> = chosen.iter().enumerate().map(|(position, &part)| Pair { position, part }).collect();
            let value = |pair: &Pair| reduction.value(*pair).expect("tied");
            let low = *pairs.iter().min_by_key(|pair| value(pair)).expect("a pair");
            let high = *pairs.iter().max_by_key(|pair| value(pair)).expect("a pair");
            let covariance = reduction.covariance(&[low, high]);
            let u = (covariance[(0, 0)] + covariance[(1, 1)] - 2.0 * covariance[(0, 1)]).max(0.0).sqrt();
            let doubt = pairwright_engine::fit::Doubt { u, ..reduction.doubt(low).expect("tied") };
            let own = if low == high { 0.0 } else { band(doubt, &factor) };
            (value(&high) - value(&low)) as f64 + own <= width as f64 * 1_000.0
        };
        let allowed = vec![vec![true; pistons.len()]; cylinders.len()];
        let best = brute::least(&allowed, |chosen| {
            let of = |part: &usize| masses[*part];
            let spread = chosen.iter().map(of).max().zip(chosen.iter().map(of).min()).map_or(0, |(high, low)| high - low);
            (!holds(chosen), spread)
        }).filter(|(broken, _)| !broken).map(|(_, spread)| spread * 1_000);

        let report = match_job(&job, None).expect("the checker accepts the answer");
        match &report.matches[0].outcome {
            Outcome::Planned(planned) => {
                prop_assert!(planned.plan.limits.iter().all(|limit| limit.state == LimitState::Held));
                let found = planned.plan.summary.spread;
                match planned.standing {
                    Standing::Proven { .. } => prop_assert_eq!(Some(found), best),
                    Standing::BestFound { .. } => prop_assert!(best.is_some_and(|best| best <= found)),
                }
            }
            Outcome::Impossible(why) => {
                prop_assert!(why.by_widest_band || best.is_none(), "{:?}", why);
                if why.by_widest_band {
                    prop_assert!(!why.no_plan.reach().is_all(), "{:?}", why.no_plan);
                } else {
                    no_plan::assert_proven(&job, &why.no_plan);
                }
            }
            Outcome::Undecided => prop_assert!(false, "no search of so few parts ends early"),
            Outcome::Missing(lacks) => prop_assert!(false, "nothing is missing: {:?}", lacks),
        }
    }
}
