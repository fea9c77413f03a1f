//! Every what-if against the job that somebody edits by hand and matches afresh, placement for placement.
//!
//! The edits here are written apart from the program's own: readings, heights and volumes are changed one by one, as
//! one would in the files.

use pairwright_engine::job::{
    Aim, BoundOf, Change, Column, Columns, Dish, FitName, Goal, Job, LimitAsked, Measured, Part, Pin, Role, Stock,
    WhatIf,
};
use pairwright_engine::outcome::{Outcome, match_job};
use pairwright_engine::plan::Plan;
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_engine::reduction::{Pair, Reduction};
use pairwright_engine::what_if::{RowOutcome, compare};
use pairwright_tests::build::nm;
use pairwright_tests::whole_engine::{self, PARTS};
use proptest::prelude::*;

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
        banks: [first, 3 - first],
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
        (0..3_usize, 0..PARTS),
        0..4_u8,
    );
    (measured, prop::collection::vec(-1_000..1_000_i64, 60), numbers, prop::collection::vec(any::<bool>(), 11))
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
    job
}

fn aim(fit: FitName) -> Aim {
    Aim { fit, goal: Goal::Even, by: Measured::Spread, slack: None }
}

/// One change in two ways: as the program has it, and as an edit by hand. `None` where this engine has no such thing.
type Both = (Change, Box<dyn Fn(&mut Job)>);

fn both(case: &Case) -> Vec<Option<Both>> {
    let measured = case.measured;
    let (bank, by) = case.deck;
    let cylinders: Vec<usize> =
        if bank == 0 { (0..measured.banks[0]).collect() } else { (measured.banks[0]..3).collect() };
    let deck: Both = (Change::CutDeck { bank, by }, Box::new(move |job| cut_deck(job, measured.read, &cylinders, by)));
    let (piston, off, less) = case.crown;
    let crown: Both = (
        Change::CutCrown { piston, by: off, dish: Dish::Less(less) },
        Box::new(move |job| {
            if measured.read {
                raise(job, |_, part| part == piston, -off);
            }
            edit(&mut job.stocks[0].columns, "compression_height", piston, -off);
            edit(&mut job.stocks[0].columns, "dish", piston, -less);
        }),
    );
    let (head, chamber, more) = case.chamber;
    let chamber: Both = (
        Change::Chamber { head, chamber, by: more },
        Box::new(move |job| {
            edit(&mut job.stocks[1].columns, &format!("chamber_{}", chamber + 1), head, more);
            let pours = job.chambers.iter_mut().flat_map(|pours| &mut pours.rows);
            for pour in pours.filter(|pour| (pour.head, pour.chamber) == (head, chamber)) {
                pour.value = pour.value.plus(more);
            }
        }),
    );
    let was = whole_engine::job(measured, &case.dice).engine;
    let (longer, rod) = (case.stroke, case.rod);
    let new = |was: Option<Amount>, by: i64| nm(was.expect("the engine has it").ticks() + by);
    let (stroke, length) = (new(was.stroke, longer), new(was.rod_length, rod));
    let stroke: Both = (
        Change::Stroke(stroke),
        Box::new(move |job| {
            job.engine.stroke = Some(stroke);
            if measured.read {
                raise(job, |_, _| true, longer / 2);
            }
        }),
    );
    let rods: Both = (
        Change::RodLength(length),
        Box::new(move |job| {
            job.engine.rod_length = Some(length);
            if measured.read {
                raise(job, |_, _| true, rod);
            }
        }),
    );
    // A crank with measured throws, and rods with measured lengths, are changed by their files.
    let throws = measured.by_cylinder;
    vec![
        Some(deck),
        Some(crown),
        Some(chamber),
        (!throws).then_some(stroke),
        (!measured.rods).then_some(rods),
        squared(case),
    ]
}

/// The same for what is asked for and what there is to choose from.
fn asked(case: &Case) -> Vec<Option<Both>> {
    let (position, part) = case.fixed;
    let fix: Both = (
        Change::Fix { matching: 0, pin: Pin { position, part, role: 0 } },
        Box::new(move |job| job.matches[0].keep = vec![Pin { position, part, role: 0 }]),
    );
    let to = nm(700_000);
    let bound: Both = (
        Change::Bound { matching: 0, fit: FitName::PistonToHead, which: BoundOf::Min, to },
        Box::new(move |job| {
            let fit = FitName::PistonToHead;
            job.matches[0].limits = vec![LimitAsked {
                fit,
                min: Some(to),
                max: None,
                spread: None,
                neighbours: None,
                guard: true,
                line: 1,
            }];
        }),
    );
    let wanted = match case.aim {
        0 => aim(FitName::Deck),
        1 => Aim { by: Measured::Squares, ..aim(FitName::ClearanceVolume) },
        2 => Aim {
            goal: Goal::Near(Amount::new(9_500_000, Unit::One, 1)),
            by: Measured::Worst,
            ..aim(FitName::Compression)
        },
        _ => aim(FitName::PistonToHead),
    };
    let aim: Both = (Change::Aim { matching: 0, aim: wanted }, Box::new(move |job| job.matches[0].aim = wanted));
    let without = case.fixed.1;
    let lost: Both = (
        Change::Without { stock: 2, part: without },
        Box::new(move |job| job.stocks[2].parts[without].fits = Some(Vec::new())),
    );
    let more = another_gasket(case);
    let bought = more.clone();
    let added: Both = (
        Change::Add { stock: 2, parts: more },
        Box::new(move |job| {
            let all = job.stocks[2].columns.iter().map(|column| {
                let values = column.values.iter().copied().chain([bought.columns.value(&column.name, 0)]);
                Column { name: column.name.clone(), values: values.collect() }
            });
            job.stocks[2].columns = Columns::new(all.collect());
            job.stocks[2].parts.extend(bought.parts.iter().cloned());
        }),
    );
    vec![Some(fix), Some(bound), Some(aim), Some(lost), Some(added)]
}

/// A gasket that the stock does not have, with the columns that it has.
fn another_gasket(case: &Case) -> Stock {
    let stock = whole_engine::job(case.measured, &case.dice).stocks[2].clone();
    let by = case.dice[7] * 100;
    let columns = stock.columns.iter().map(|column| {
        let value = column.values[0].map(|value| value.plus(by));
        Column { name: column.name.clone(), values: vec![value] }
    });
    let part = Part { id: "another".to_owned(), ..stock.parts[0].clone() };
    Stock { parts: vec![part], columns: Columns::new(columns.collect()), ..stock }
}

/// The bank of two is squared: the one whose deck is higher comes down to the other. `None` where all decks are the
/// engine's.
fn squared(case: &Case) -> Option<Both> {
    let measured = case.measured;
    if !measured.read && !measured.by_cylinder {
        return None;
    }
    let bank = usize::from(measured.banks[1] == 2);
    let [one, other] = if bank == 0 { [0, 1] } else { [1, 2] };
    let job = whole_engine::job(measured, &case.dice);
    let height = |cylinder| job.positions[0].columns.value("deck_height", cylinder).or(job.engine.deck_height);
    let read = job.deck.as_ref().map(|deck| Reduction::new(&job, deck, &[]).expect("a small job"));
    let low = |cylinder: usize| match &read {
        Some(read) => read.value(Pair { position: cylinder, part: 0 }).expect("tied"),
        None => -height(cylinder).expect("the engine has one").ticks(),
    };
    let (higher, by) =
        if low(one) < low(other) { (one, low(other) - low(one)) } else { (other, low(one) - low(other)) };
    Some((Change::SquareDeck { bank }, Box::new(move |job| cut_deck(job, measured.read, &[higher], by))))
}

fn cut_deck(job: &mut Job, read: bool, cylinders: &[usize], by: i64) {
    if read {
        raise(job, |position, _| cylinders.contains(&position), by);
        return;
    }
    let common = job.engine.deck_height;
    let all = job.positions[0].len();
    let own: Vec<Option<Amount>> = (0..all)
        .map(|at| {
            let height = job.positions[0].columns.value("deck_height", at).or(common)?;
            Some(height.plus(if cylinders.contains(&at) { -by } else { 0 }))
        })
        .collect();
    let others = job.positions[0].columns.iter().filter(|column| column.name != "deck_height").cloned();
    let heights = Column { name: "deck_height".to_owned(), values: own };
    job.positions[0].columns = Columns::new(others.chain([heights]).collect());
}

/// Raises what the dial read wherever `which` says so.
fn raise(job: &mut Job, which: impl Fn(usize, usize) -> bool, by: i64) {
    for row in job.deck.iter_mut().flat_map(|deck| &mut deck.rows) {
        if which(row.position, row.part) {
            row.value = row.value.plus(by);
        }
    }
}

fn edit(columns: &mut Columns, name: &str, row: usize, by: i64) {
    let all = columns.iter().map(|column| {
        let change = |(at, value): (usize, &Option<Amount>)| {
            value.map(|value| if column.name == name && at == row { value.plus(by) } else { value })
        };
        Column { name: column.name.clone(), values: column.values.iter().enumerate().map(change).collect() }
    });
    *columns = Columns::new(all.collect());
}

/// Whether two plans are as good as each other to the few ticks that rounding before or after an edit can make: a tie
/// that one of them sees and the other misses by a nanometre.
fn tied(one: &Plan, other: &Plan) -> bool {
    let near = |one: i64, other: i64| (one - other).abs() <= 40;
    match (one.summary.worst, other.summary.worst) {
        (Some(one), Some(other)) => near(one, other),
        _ => {
            near(one.summary.spread, other.summary.spread)
                || (one.summary.scatter - other.summary.scatter).abs() <= 40.0
        }
    }
}

/// The plan of a row as far as it is to be the same: parts, heads and gaskets, and every value.
fn same(one: &Plan, other: &Plan) -> Result<(), TestCaseError> {
    let parts = |plan: &Plan| plan.placements.iter().map(|placement| placement.parts.clone()).collect::<Vec<_>>();
    if one.setting != other.setting || parts(one) != parts(other) {
        prop_assert!(tied(one, other), "{:?} and {:?}", parts(one), parts(other));
        return Ok(());
    }
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
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    #[test]
    fn a_what_if_is_the_job_edited_by_hand_and_matched_afresh(case in cases()) {
        let mut job = job(&case);
        let mut by_hand = job.clone();
        let mut changes = Vec::new();
        for (both, chosen) in both(&case).into_iter().chain(asked(&case)).zip(&case.chosen) {
            if let (Some((change, edit)), true) = (both, chosen) {
                edit(&mut by_hand);
                changes.push(change);
            }
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
                same(&row.plan, &afresh.plan)?;
            }
            (RowOutcome::Impossible(_), Outcome::Impossible(_)) => {}
            (row, afresh) => prop_assert!(false, "{row:?} and {afresh:?}"),
        }
    }
}
