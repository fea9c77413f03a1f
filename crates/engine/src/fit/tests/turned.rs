//! Which chamber stands over which cylinder.

use super::build::{cc, column, inches, job, readings, stock, value};
use crate::fit::Seat;
use crate::job::FitName::ClearanceVolume;
use crate::job::{Bank, ChamberReading, ChamberReadings, HeadSeat, Job};

/// Two banks of three; a head with chambers of 50, 51, 52 cc.
fn two_banks() -> Job {
    let mut job = job(6);
    job.engine.bore = Some(inches(40_000));
    job.banks = [(HeadSeat::AsMeasured, vec![0, 2, 4]), (HeadSeat::Turned, vec![1, 3, 5])]
        .map(|(head, cylinders)| Bank { cylinders, head: Some(head), ..job.banks[0].clone() })
        .into();
    job.positions[0].banks = vec![Some(0), Some(1), Some(0), Some(1), Some(0), Some(1)];
    let chamber = |k: i64| column(&format!("chamber_{k}"), &[cc(490 + 10 * k)]);
    job.stocks = vec![
        stock("piston", 1, vec![column("dish", &[cc(0)])]),
        stock("head", 1, (1..=3).map(chamber).collect()),
        stock("gasket", 1, vec![column("gasket", &[cc(0)])]),
    ];
    job.deck = Some(readings(&[0, 1, 2, 3, 4, 5].map(|cylinder| (cylinder, 0, None, inches(0)))));
    job
}

fn volumes(job: &Job) -> Vec<Option<i64>> {
    let seat = |position| Seat::empty(position).with(0, 0).with(1, 0).with(2, 0);
    (0..6).map(|position| value(job, ClearanceVolume, seat(position))).collect()
}

fn all(tenths: [i64; 6]) -> Vec<Option<i64>> {
    tenths.map(|tenths| Some(tenths * 100_000)).to_vec()
}

#[test]
fn a_turned_head_brings_its_last_chamber_to_the_front() {
    let mut job = two_banks();
    assert_eq!(volumes(&job), all([500, 520, 510, 510, 520, 500]));
    job.banks[1].head = None;
    assert_eq!(volumes(&job), all([500, 500, 510, 510, 520, 520]));
}

#[test]
fn a_bank_of_another_length_takes_no_chamber() {
    let mut job = two_banks();
    job.banks[0].cylinders.push(1);
    job.banks[1].cylinders = vec![3, 5];
    job.positions[0].banks[1] = Some(0);
    job.stocks[1] = stock("head", 1, (1..=4).map(|k| column(&format!("chamber_{k}"), &[cc(490 + 10 * k)])).collect());
    let found = volumes(&job);
    assert_eq!([found[3], found[5]], [None, None]);
    assert_eq!(found[1], Some(53_000_000));
}

#[test]
fn pours_go_before_the_typed_chamber() {
    let mut job = two_banks();
    let pour = |chamber, tenths, line| ChamberReading { head: 0, chamber, value: cc(tenths), leave_out: false, line };
    let rows = vec![pour(1, 514, 2), pour(1, 516, 3), pour(1, 999, 4)];
    job.chambers = Some(ChamberReadings { rows, ..ChamberReadings::default() });
    job.chambers.as_mut().unwrap().rows[2].leave_out = true;
    assert_eq!(volumes(&job), all([500, 520, 515, 515, 520, 500]));
}
