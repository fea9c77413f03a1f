//! Every fit against its second derivation, in every seat of random engines.

use pairwright_engine::job::{DeclaredFit, DeclaredFits, FitName, Term};
use pairwright_engine::quantity::Dimension;
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

/// Sums over what an engine is measured by: of lengths over every kind, of masses, of volumes.
fn declared(measured: Measured, times: i64) -> DeclaredFits {
    let sum = |name: &str, dimension: Dimension, terms: &[(&str, &str, i64)]| {
        let own = terms.iter().filter(|(owner, column, _)| {
            (measured.rods || *owner != "rod") && (measured.by_cylinder || *owner != "cylinder") && *column != "bore"
        });
        let term =
            |&(owner, column, times): &(&str, &str, i64)| Term { owner: owner.into(), column: column.into(), times };
        DeclaredFit::new(name.into(), own.map(term).collect(), dimension)
    };
    let lengths = [
        ("piston", "diameter", -Term::ONCE),
        ("piston", "compression_height", times),
        ("rod", "length", -times),
        ("cylinder", "deck_height", Term::ONCE),
        ("cylinder", "throw", -2 * Term::ONCE),
        ("piston", "diameter", Term::ONCE / 4),
    ];
    let masses = [("piston", "mass", times), ("rod", "mass", -Term::ONCE / 3)];
    let volumes = [("piston", "dish", Term::ONCE), ("cylinder", "crevice", -times)];
    DeclaredFits::new(vec![
        sum("standing", Dimension::Length, &lengths),
        sum("swinging", Dimension::Mass, &masses),
        sum("besides", Dimension::Volume, &volumes),
    ])
}

/// How far the product's value may be from the derivation's, in ticks: deck clearance is rounded to
/// whole nm twice on its way, once an effect, and each nm is 8 ticks of volume and about 1 of the ratio. A volume is the sum
/// of eight shares at most, each rounded to a whole tick, so that it adds up exactly: 4 ticks more, half a tick of the
/// ratio.
fn room(fit: FitName) -> f64 {
    match fit {
        FitName::Deck | FitName::PistonToHead => 1.01,
        FitName::ClearanceVolume => 13.0,
        FitName::Compression => 2.5,
        FitName::Skirt | FitName::Lift | FitName::Mass | FitName::Entry(_) => 0.01,
        // A half of a tick is rounded to the even one.
        FitName::Declared(_) => 0.51,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn prop_every_fit_is_derived_again(measured in measured(), dice in prop::collection::vec(-1_000_i64..=1_000, 97), times in 1_i64..=10_000_000) {
        let mut job = whole_engine::job(measured, &dice);
        job.fits = declared(measured, times);
        let decks = job.deck.is_some().then(|| derive::deck(&job));
        with_fits(&job, |fits| {
            // Lift is that of valves: `lift_published` has its values.
            prop_assert_eq!(fits.len(), job.fits.all().count() - 1);
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
                    prop_assert_eq!(found.is_some(), expected.is_some(), "{:?} {:?}", fit.name(), at);
                    prop_assert_eq!(fit.doubt(seat(at)).is_some(), found.is_some());
                    if let Some((found, expected)) = found.zip(expected) {
                        let off = found - ticks(&job, fit.name()) * expected;
                        prop_assert!(off.abs() <= room(fit.name()), "{:?} {:?}: off by {}", fit.name(), at, off);
                        predicted += 1;
                    }
                }
            }
            prop_assert!(predicted > 0);
            Ok(())
        })?;
    }
}
