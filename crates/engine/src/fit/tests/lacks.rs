//! What is missing is said in one go.

use super::build::{cast, column, inches, job, sign_job, stock, um};
use crate::fit::fits;
use crate::job::{FitName, Job};

fn lack(job: &Job, name: FitName) -> Option<String> {
    let found = fits(job, &cast(), None, None);
    let at = FitName::BUILT_IN.iter().position(|&known| known == name).unwrap();
    found.into_iter().nth(at).unwrap().err().map(|lack| {
        assert_eq!(lack.fit, name);
        lack.what
    })
}

#[test]
fn every_fit_names_what_it_needs() {
    let mut job = job(2);
    job.stocks = vec![stock("piston", 1, vec![])];
    assert_eq!(lack(&job, FitName::Deck).unwrap(), "dial readings: `[readings] deck` in the job file");
    let compression = lack(&job, FitName::Compression).unwrap();
    for part in ["readings", "bore", "dish_cc", "gasket", "heads", "stroke"] {
        assert!(compression.contains(part), "{part}: {compression}");
    }
    assert_eq!(compression.matches("stock of heads").count(), 1);
    assert_eq!(lack(&job, FitName::Skirt).unwrap().matches(';').count(), 1);
}

#[test]
fn a_deck_half_described_asks_for_the_other_half() {
    let mut job = job(2);
    job.stocks = vec![stock("piston", 1, vec![column("compression_height", &[um(40_000)])])];
    job.engine.stroke = Some(um(80_000));
    let what = lack(&job, FitName::Deck).unwrap();
    assert!(what.contains("rod_length") && what.contains("deck_height") && !what.contains("stroke"), "{what}");
    job.engine.rod_length = Some(um(150_000));
    job.engine.deck_height = Some(um(230_000));
    assert_eq!(lack(&job, FitName::Deck), None);
}

#[test]
fn heads_of_another_length_than_any_bank() {
    let mut job = sign_job(0);
    job.banks[0].cylinders = vec![0, 0];
    assert!(lack(&job, FitName::ClearanceVolume).unwrap().contains("as many cylinders as the heads have chambers"));
}

#[test]
fn rods_that_differ_need_the_one_that_was_read() {
    let mut job = sign_job(0);
    job.stocks.push(stock("rod", 2, vec![column("length", &[inches(60_000), inches(60_010)])]));
    let reduction = crate::reduction::Reduction::new(&job, job.deck.as_ref().unwrap(), &[]).unwrap();
    let found = fits(&job, &cast(), Some(&reduction), None);
    assert!(found[0].as_ref().unwrap_err().what.contains("rod"));
}
