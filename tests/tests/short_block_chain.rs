//! All criteria of a choice of pistons, rods, heads and a gasket, and of what is bought of them, against every way there is to
//! build the block.

#[path = "short_block_chain/block.rs"]
mod block;

use block::{Block, Built, block, bought};
use pairwright_engine::outcome::{Outcome, Rechecked, match_job, recheck};
use pairwright_engine::plan::{Certificate, Culprit, Elsewhere, Standing, Taken};
use pairwright_proof::Proof;
use pairwright_tests::no_plan;
use proptest::prelude::*;

/// The plan is the first of the best that may be paid for; where there is none, it is proven, and what the cheapest within
/// the limits costs is said.
fn is_as_good_as_any(block: &Block) -> Result<(), TestCaseError> {
    let (job, best) = (block.job(), block.best());
    match match_job(&job, None).expect("the checker accepts the answer").matches.remove(0).outcome {
        Outcome::Planned(found) => {
            let Some((best, worths)) = best else { panic!("there is no such plan as {:?}", found.certificate) };
            let certificate = &found.certificate;
            let own = Built::of(certificate);
            prop_assert_eq!(&block.worths(&own), &worths, "{:?} beside {:?}", &best, certificate);
            prop_assert_eq!(&own, &best);
            if block.with_rods {
                prop_assert_eq!(&certificate.values, &worths);
            }
            let total = found.plan.shopping.as_ref().map_or(0, |shopping| shopping.total);
            prop_assert_eq!(i128::from(total), block.price(&own));
            prop_assert!(matches!(found.standing, Standing::Proven { .. }), "{:?}", found.standing);
            let again = recheck(&job, 0, &Taken::default(), certificate).expect("what was checked holds");
            prop_assert!(matches!(&again, Rechecked::True(checked) if checked.levels >= 1), "{:?}", again);
            for bent in with_another_best(certificate, block.first.len()) {
                let said = recheck(&job, 0, &Taken::default(), &bent);
                let is_less = matches!(&said, Ok(Rechecked::True(checked)) if checked.levels <= block.first.len());
                prop_assert!(said.is_err() || is_less, "{:?}: {:?}", said, bent);
            }
        }
        Outcome::Impossible(why) => {
            prop_assert!(best.is_none(), "{:?}", best);
            let least = why.culprits.iter().find_map(|culprit| match culprit {
                Culprit::Spend { least } => Some(i128::from(*least)),
                _ => None,
            });
            prop_assert_eq!(least, block.spend.and(block.cheapest()));
            no_plan::assert_proven(&job, &why.no_plan);
        }
        other => prop_assert!(false, "{:?}", other),
    }
    Ok(())
}

/// Certificates in which the best that some setting has by the aim is said to be another, or is not said.
fn with_another_best(certificate: &Certificate, aim: usize) -> Vec<Certificate> {
    let mut bent = Vec::new();
    let more = |proof: &mut Proof, by: i128| proof.levels.get_mut(aim).map(|level| level.best += by).is_some();
    for by in [-1, 1] {
        let mut other = certificate.clone();
        if more(&mut other.proof, by) {
            bent.push(other);
        }
        for at in 0..certificate.elsewhere.len() {
            let mut other = certificate.clone();
            let is_bent = match &mut other.elsewhere[at] {
                Elsewhere::Best { proof, .. } => more(proof, by),
                _ => false,
            };
            if is_bent {
                bent.push(other);
            }
        }
    }
    for at in 0..certificate.elsewhere.len() {
        let mut other = certificate.clone();
        other.elsewhere[at] = Elsewhere::Unproven;
        bent.push(other);
    }
    bent
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(100))]

    /// The plan is the first of the best by every criterion, and the checker follows it without solving.
    #[test]
    fn prop_every_criterion_is_settled_over_both_kinds(block in block()) {
        is_as_good_as_any(&block)?;
    }

    /// The same with what comes before the aim and with so much to spend, with rods and without.
    #[test]
    fn prop_no_block_that_may_be_paid_for_is_better(block in bought()) {
        is_as_good_as_any(&block)?;
    }
}
