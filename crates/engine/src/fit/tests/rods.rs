//! Rods in readings and in seats.

use super::build::{ask, column, job, readings, stock, um, value};
use crate::fit::Seat;
use crate::job::FitName::{Deck, Mass};
use crate::job::{EngineSizes, Job};
use crate::quantity::{Amount, Unit};

/// Two cylinders, two pistons, three rods of 150.000, 150.030 and 150.010 mm, each known to 2, 3 and 4 µm.
fn rod_job() -> Job {
    let mut job = job(2);
    let lengths = column("length", &[um(150_000), um(150_030), um(150_010)]);
    let known = column("u_length", &[um(2), um(3), um(4)]);
    job.stocks = vec![stock("piston", 2, vec![]), stock("rod", 3, vec![lengths, known])];
    job.deck = Some(readings(&[(0, 0, Some(0), um(-20)), (1, 0, Some(0), um(-50)), (0, 1, Some(1), um(40))]));
    job
}

fn seat(position: usize, piston: usize, rod: Option<usize>) -> Seat {
    let seat = Seat::empty(position).with(0, piston);
    rod.map_or(seat, |rod| seat.with(3, rod))
}

#[test]
fn another_rod_adds_its_difference() {
    let job = rod_job();
    assert_eq!(value(&job, Deck, seat(0, 0, Some(0))), Some(-20_000));
    assert_eq!(value(&job, Deck, seat(0, 0, Some(1))), Some(10_000));
    assert_eq!(value(&job, Deck, seat(1, 1, Some(1))), Some(10_000), "on the rod it was read on");
    assert_eq!(value(&job, Deck, seat(1, 1, Some(2))), Some(-10_000));
    assert_eq!(value(&job, Deck, seat(1, 1, None)), Some(10_000), "without a rod as it was read");
}

#[test]
fn without_a_rod_the_control_rod_is_meant() {
    let mut job = rod_job();
    job.deck.as_mut().unwrap().control_rod = Some(0);
    assert_eq!(value(&job, Deck, seat(1, 1, None)), Some(-20_000));
}

#[test]
fn the_rod_it_was_read_on_brings_no_doubt() {
    let job = rod_job();
    let u = |rod| ask(&job, Deck, |fit| fit.doubt(seat(0, 1, Some(rod))).unwrap().u);
    let alone = u(1);
    assert!((u(0).powi(2) - alone.powi(2) - 1e6 * (4.0 + 9.0)).abs() < 1.0);
    assert!((u(2).powi(2) - alone.powi(2) - 1e6 * (16.0 + 9.0)).abs() < 1.0);
}

#[test]
fn a_rod_of_unknown_length_is_not_guessed() {
    let mut job = rod_job();
    let mut lengths = column("length", &[um(150_000), um(150_030), um(0)]);
    lengths.values[2] = None;
    job.stocks[1] = stock("rod", 3, vec![lengths]);
    assert_eq!(value(&job, Deck, seat(0, 0, Some(2))), None);
    // Where no rod has a length, all count as alike.
    job.stocks[1] = stock("rod", 3, vec![]);
    assert_eq!(value(&job, Deck, seat(0, 0, Some(2))), Some(-20_000));
}

#[test]
fn readings_of_one_piston_on_two_rods_are_brought_together() {
    let mut job = rod_job();
    // 30 µm longer: the same piston in the same hole stands 30 µm higher.
    job.deck.as_mut().unwrap().rows[1].rod = Some(1);
    job.deck.as_mut().unwrap().rows[1].position = 0;
    job.deck.as_mut().unwrap().rows[1].value = um(10);
    assert_eq!(value(&job, Deck, seat(0, 0, Some(0))), Some(-20_000));
}

#[test]
fn made_of_its_parts() {
    let mut job = rod_job();
    job.deck = None;
    job.engine = EngineSizes {
        stroke: Some(um(80_000)),
        deck_height: Some(um(230_100)),
        rod_length: Some(um(149_980)),
        ..EngineSizes::default()
    };
    job.stocks[0] = stock("piston", 2, vec![column("compression_height", &[um(40_000), um(40_050)])]);
    assert_eq!(value(&job, Deck, seat(0, 0, Some(1))), Some(-70_000));
    assert_eq!(value(&job, Deck, seat(0, 1, Some(0))), Some(-50_000));
    assert_eq!(value(&job, Deck, seat(0, 0, None)), Some(-120_000), "the engine's rod length without a rod");
    let cylinders =
        vec![column("throw", &[um(40_000), um(40_020)]), column("deck_height", &[um(230_100), um(230_080)])];
    job.positions[0].columns = crate::job::Columns::new(cylinders);
    assert_eq!(value(&job, Deck, seat(1, 1, Some(0))), Some(-10_000));
}

#[test]
fn masses_of_all_that_is_there() {
    let mut job = rod_job();
    let grams = |g: i64| Amount::new(g * 10_000, Unit::Gram, 1);
    job.stocks[0] = stock("piston", 2, vec![column("mass", &[grams(600), grams(604)])]);
    assert_eq!(value(&job, Mass, seat(0, 1, Some(0))), Some(6_040_000), "rods are not weighed");
    job.stocks[1] = stock("rod", 3, vec![column("mass", &[grams(500), grams(503), grams(501)])]);
    assert_eq!(value(&job, Mass, seat(0, 1, Some(1))), Some(11_070_000));
    assert_eq!(value(&job, Mass, seat(0, 1, None)), Some(6_040_000));
    assert_eq!(value(&job, Mass, Seat::empty(0)), None);
}
