//! A pile of which only some parts are laid out gives the plan of the whole pile.

use pairwright_assign::{Outcome as Solved, Problem, solve};
use pairwright_engine::explain::Alternative;
use pairwright_engine::job::FitName;
use pairwright_engine::outcome::{Outcome, match_job};
use pairwright_proof::{Criterion, Measure, Sense, Shape, Table};
use pairwright_tests::build;
use proptest::prelude::*;

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// Effects on a coarse grid, so that most pistons have many like them; some stand somewhere.
    #[test]
    fn prop_the_plan_of_a_pile_is_the_plan_of_all_its_parts(
        pistons in prop::collection::vec(-6_i64..6, 300..420),
        cylinders in prop::collection::vec(-9_i64..9, 3..6),
        standing in prop::collection::vec(any::<bool>(), 6),
    ) {
        let step = 2_540;
        let mut job = build::job(cylinders.len(), pistons.len());
        let control = (0..cylinders.len()).map(|cylinder| (cylinder, 0, (pistons[0] + cylinders[cylinder]) * step));
        let others = (1..pistons.len()).map(|piston| (0, piston, (pistons[piston] + cylinders[0]) * step));
        job.deck = Some(build::readings(&control.chain(others).collect::<Vec<_>>()));
        for (position, _) in standing.iter().enumerate().filter(|(at, stands)| **stands && *at < cylinders.len()) {
            job.stocks[0].parts[40 * (position + 1)].at = Some(position);
        }
        let known = job.stocks[0].parts.iter().any(|part| part.at.is_some());

        let shape = Shape { slots: cylinders.len(), items: pistons.len() };
        let deck = Table::from_fn(shape, |slot, item| Some((pistons[item.index()] + cylinders[slot.index()]) * step)).expect("small");
        let stands = |slot: usize, item: usize| job.stocks[0].parts[item].at == Some(slot);
        let moves = Table::from_fn(shape, |slot, item| Some(i64::from(!stands(slot.index(), item.index())))).expect("small");
        let least = |table, measure| Criterion { table, measure, sense: Sense::Least, slack: 0 };
        let mut criteria = vec![least(&deck, Measure::Spread), least(&deck, Measure::SquaresAboutMean)];
        if known {
            criteria.push(least(&moves, Measure::Total));
        }
        let whole = Problem::new(criteria, vec![]).expect("one shape");
        let Solved::Proven(expected) = solve(&whole) else { panic!("a proven answer") };

        let report = match_job(&job, None).expect("the checker accepts the answer");
        let Outcome::Planned(planned) = &report.matches[0].outcome else { panic!("a plan") };
        let parts: Vec<usize> = planned.plan.placements.iter().map(|placement| placement.parts[0]).collect();
        let all: Vec<usize> = expected.choice.items().iter().map(|item| item.index()).collect();
        prop_assert_eq!(parts, all);

        // What forcing a part in costs is the same whether it was laid out itself or a part like it.
        for forced in planned.explanation.forced_in.iter().take(2) {
            let item = pairwright_proof::Item::new(u32::try_from(forced.part).expect("small"));
            let Solved::Proven(dearer) = solve(&whole.clone().bring_in(item).expect("there")) else { panic!("a proven answer") };
            let Alternative::Found { parts, price, .. } = &forced.plan else { panic!("a plan") };
            prop_assert!(parts.contains(&forced.part));
            prop_assert_eq!(i128::from(price.spread), dearer.values[0] - expected.values[0]);
        }
        prop_assert_eq!(planned.plan.summary.fit, FitName::Deck);
    }
}
