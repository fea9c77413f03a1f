//! Every fit against its second derivation, in every seat of random engines.

use pairwright_engine::job::FitName;
use pairwright_tests::derive::{self, Stand};
use pairwright_tests::whole_engine::{self, Measured, PARTS, seat, ticks, with_fits};
use proptest::prelude::*;

fn measured() -> impl Strategy<Value = Measured> {
    (1_usize..=4, 1_usize..=4, prop::collection::vec(any::<bool>(), 6)).prop_map(|(left, right, yes)| Measured {
        banks: [left, right],
        turned: yes[0],
        read: yes[1],
        by_cylinder: yes[2],
        rods: yes[3],
        gasket_volume: yes[4],
        poured: yes[5],
    })
}

/// Every piston, rod, head and gasket in every cylinder.
fn stands(measured: Measured) -> Vec<Stand> {
    let rods: Vec<Option<usize>> = if measured.rods { (0..PARTS).map(Some).collect() } else { vec![None] };
    let mut all = Vec::new();
    for position in 0..measured.banks.iter().sum() {
        for (piston, &rod) in (0..PARTS).flat_map(|piston| rods.iter().map(move |rod| (piston, rod))) {
            for (head, gasket) in (0..PARTS).flat_map(|head| (0..PARTS).map(move |gasket| (head, gasket))) {
                all.push(Stand { position, piston, rod, head, gasket });
            }
        }
    }
    all
}

/// How far the product's value may be from the derivation's, in ticks: deck clearance is rounded to
/// whole nm twice on its way, once an effect, and each nm is 8 ticks of volume and about 1 of the ratio.
fn room(fit: FitName) -> f64 {
    match fit {
        FitName::Deck | FitName::PistonToHead => 1.01,
        FitName::ClearanceVolume => 9.0,
        FitName::Compression => 2.0,
        FitName::Skirt | FitName::Lift | FitName::Mass => 0.01,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn prop_every_fit_is_derived_again(measured in measured(), dice in prop::collection::vec(-1_000_i64..=1_000, 97)) {
        let job = whole_engine::job(measured, &dice);
        let decks = job.deck.is_some().then(|| derive::deck(&job));
        with_fits(&job, |fits| {
            // Lift is that of valves: `lift_published` has its values.
            prop_assert_eq!(fits.len(), FitName::ALL.len() - 1);
            let mut predicted = 0;
            for fit in fits {
                for at in stands(measured) {
                    let expected = derive::fit(&job, decks.as_deref(), fit.name(), at);
                    // A nominal bore says nothing of a skirt where the others were measured.
                    let bare = fit.name() == FitName::Skirt && measured.by_cylinder;
                    if bare && at.position + 1 == measured.banks.iter().sum::<usize>() {
                        prop_assert_eq!(fit.value(seat(at)), None);
                        continue;
                    }
                    let found = fit.value(seat(at)).map(|value| value as f64);
                    prop_assert_eq!(found.is_some(), expected.is_some(), "{} {:?}", fit.name(), at);
                    prop_assert_eq!(fit.doubt(seat(at)).is_some(), found.is_some());
                    if let Some((found, expected)) = found.zip(expected) {
                        let off = found - ticks(fit.name()) * expected;
                        prop_assert!(off.abs() <= room(fit.name()), "{} {:?}: off by {}", fit.name(), at, off);
                        predicted += 1;
                    }
                }
            }
            prop_assert!(predicted > 0);
            Ok(())
        })?;
    }
}
