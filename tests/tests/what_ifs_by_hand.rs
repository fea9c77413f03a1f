//! Every what-if against the job that somebody edits by hand and matches afresh, placement for placement.
//!
//! The edits here are written apart from the program's own: readings, heights and volumes are changed one by one, as
//! one would in the files.

#[path = "what_ifs_by_hand/edits.rs"]
mod edits;

use pairwright_engine::job::{Aim, FitName, Goal, Job, Measured, Role, WhatIf};
use pairwright_engine::outcome::{Outcome, Planned, match_job};
use pairwright_engine::plan::Plan;
use pairwright_engine::what_if::{RowOutcome, RowPlan, compare};
use pairwright_tests::whole_engine::{self, PARTS};
use proptest::prelude::*;

use edits::{KEPT_OUT, further, machining, wishes};

/// What a case changes, in numbers.
#[derive(Clone, Debug)]
struct Case {
    measured: whole_engine::Measured,
    dice: Vec<i64>,
    deck: (usize, i64),
    crown: (usize, i64, i64),
    chamber: (usize, usize, i64),
    stroke: i64,
    rod: i64,
    fixed: (usize, usize),
    aim: u8,
    chosen: Vec<bool>,
}

fn cases() -> impl Strategy<Value = Case> {
    let measured = (any::<[bool; 6]>(), 1..3_usize).prop_map(|(flags, first)| whole_engine::Measured {
        // A head fits a bank with as many cylinders as it has chambers: one each, or both on one bank.
        banks: [first, 2 - first],
        turned: flags[0],
        read: flags[1],
        by_cylinder: flags[2],
        rods: flags[3],
        gasket_volume: flags[4],
        poured: flags[5],
    });
    let numbers = (
        (0..2_usize, 1..400_000_i64),
        (0..PARTS, 1..300_000_i64, 0..300_000_i64),
        (0..PARTS, 0..2_usize, -2_000_000..2_000_000_i64),
        -2_000_000..2_000_000_i64,
        -500_000..500_000_i64,
        (0..2_usize, 0..PARTS),
        0..4_u8,
    );
    (
        measured,
        prop::collection::vec(-1_000..1_000_i64, 60),
        numbers,
        prop::collection::vec(prop::bool::weighted(0.3), 15),
    )
        .prop_map(|(measured, dice, (deck, crown, chamber, stroke, rod, fixed, aim), chosen)| Case {
            measured,
            dice,
            deck,
            crown,
            chamber,
            stroke: stroke * 2,
            rod,
            fixed,
            aim,
            chosen,
        })
}

/// The job of a case, with a match that places everything.
fn job(case: &Case) -> Job {
    let mut job = whole_engine::job(case.measured, &case.dice);
    let kinds = ["piston", "rod", "head", "gasket"].into_iter().filter(|kind| case.measured.rods || *kind != "rod");
    job.matches[0].place = kinds.map(Role::of).collect();
    job.matches[0].aim = aim(FitName::Compression);
    job.stocks[2].parts[KEPT_OUT].fits = Some(Vec::new());
    job
}

fn aim(fit: FitName) -> Aim {
    Aim { fit, goal: Goal::Even, by: Measured::Spread, slack: None }
}

/// Whether two plans are as good by the aim as each other, to the few ticks that rounding before or after an edit can
/// make: a tie that one of them sees and the other misses by a nanometre.
fn tied(aim: &Aim, one: &Plan, other: &Plan) -> bool {
    let off = match (aim.goal, aim.by) {
        (Goal::Near(_), _) => one.summary.worst.zip(other.summary.worst).map_or(0, |(one, other)| one - other) as f64,
        (_, Measured::Squares) => one.summary.scatter - other.summary.scatter,
        _ => (one.summary.spread - other.summary.spread) as f64,
    };
    off.abs() <= 40.0
}

/// The plan of a row as far as it is to be the same: parts, heads and gaskets, and every value.
fn same(aim: &Aim, one: &RowPlan, other: &Planned) -> Result<(), TestCaseError> {
    let (same_levels, one, other) = (one.standing == other.standing, &one.plan, &other.plan);
    let parts = |plan: &Plan| plan.placements.iter().map(|placement| placement.parts.clone()).collect::<Vec<_>>();
    if one.setting != other.setting || parts(one) != parts(other) {
        prop_assert!(tied(aim, one, other), "{:?} and {:?}", parts(one), parts(other));
        return Ok(());
    }
    prop_assert!(same_levels, "the proof reaches as far");
    prop_assert_eq!(one.moves, other.moves);
    for (one, other) in one.placements.iter().zip(&other.placements) {
        prop_assert_eq!(one.fits.len(), other.fits.len());
        for (one, other) in one.fits.iter().zip(&other.fits) {
            let apart = (one.estimate.value - other.estimate.value).abs();
            // Effects are rounded one by one to a nanometre, before or after the edit: a nanometre of deck is worth up to
            // eight ticks of volume, and two of ratio.
            prop_assert!(apart <= 20, "{:?}: {} and {}", one.fit, one.estimate.value, other.estimate.value);
        }
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn a_what_if_is_the_job_edited_by_hand_and_matched_afresh(case in cases()) {
        let mut job = job(&case);
        let mut by_hand = job.clone();
        let mut changes = Vec::new();
        let all = machining(&case).into_iter().chain(wishes(&case)).chain(further(&case));
        for (both, chosen) in all.zip(&case.chosen) {
            if let (Some((change, edit)), true) = (both, chosen) {
                edit(&mut by_hand);
                changes.push(change);
            }
        }
        // Their order is nothing to them.
        if case.dice[1] > 0 {
            changes.reverse();
        }
        // Half of the changes in one what-if, half in another that stacks it.
        let rest = changes.split_off(changes.len() / 2);
        let what_if = |name: &str, with: Vec<usize>, changes| WhatIf {
            name: name.to_owned(), with, changes, price: None, hours: None, line: 1,
        };
        job.what_ifs = vec![what_if("half", vec![], rest), what_if("whole", vec![0], changes)];
        let comparison = compare(&job, 0, |what_if| what_if.name == "whole").expect("small");
        let report = match_job(&by_hand, None).expect("small");
        match (&comparison.rows[0].outcome, &report.matches[0].outcome) {
            (RowOutcome::Planned(row), Outcome::Planned(afresh)) => {
                same(&by_hand.matches[0].aim, row, afresh)?;
            }
            (RowOutcome::Impossible(_), Outcome::Impossible(_)) => {}
            (row, afresh) => prop_assert!(false, "{row:?} and {afresh:?}"),
        }
    }
}
