//! Whole engines of a test: banks, pistons, rods, heads and gaskets, all measured.

use pairwright_engine::fit::{Cast, Fit, Seat, fits};
use pairwright_engine::job::{
    Bank, ChamberReading, ChamberReadings, Column, Columns, FitName, HeadSeat, Job, Part, Stock,
};
use pairwright_engine::quantity::{Amount, Dimension, Unit};
use pairwright_engine::reduction::{ChamberReduction, Reduction};

use crate::build::{self, nm};
use crate::derive::Stand;

/// What an engine is measured by.
#[derive(Clone, Copy, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "each is a way of its own to measure something")]
pub struct Measured {
    /// Cylinders of each bank.
    pub banks: [usize; 2],
    /// The second bank's head sits turned.
    pub turned: bool,
    /// Dial readings, else the sizes that deck clearance is made of.
    pub read: bool,
    /// Bore, throw, deck height and crevice of each cylinder, else of the engine.
    pub by_cylinder: bool,
    /// A stock of rods, else one length for the engine.
    pub rods: bool,
    /// The gasket's volume measured, else its thickness and bore.
    pub gasket_volume: bool,
    /// Some chambers poured several times, else all typed.
    pub poured: bool,
}

/// Pistons, rods, heads and gaskets of an engine, at least.
pub const PARTS: usize = 3;

/// A volume of so many 1e-6 cc.
#[must_use]
pub fn cc(ticks: i64) -> Amount {
    Amount::new(ticks, Unit::CubicCentimetre, 6)
}

/// A job of the engine, its sizes about those of a small V6 and scattered by `dice`, numbers between
/// -1000 and 1000 that are used over and over.
///
/// # Panics
/// Panics without `dice`: it is for tests.
#[must_use]
pub fn job(measured: Measured, dice: &[i64]) -> Job {
    let mut dice = dice.iter().copied().cycle();
    let mut throw = move |mean: i64, step: i64| mean + step * dice.next().expect("dice");
    let cylinders = measured.banks.iter().sum();
    let mut job = build::job(cylinders, PARTS);
    set_banks(&mut job, measured);
    set_cylinders(&mut job, measured, &mut throw);
    job.stocks = vec![
        stock(
            "piston",
            vec![
                column("dish", || cc(throw(3_200_000, 6_000))),
                column("compression_height", || nm(throw(39_573_600, 90))),
                column("diameter", || nm(throw(99_990_000, 20))),
                column("mass", || Amount::new(throw(6_000_000, 90), Unit::Gram, 4)),
            ],
        ),
        stock("head", chambers(measured, &mut throw)),
        stock("gasket", gaskets(measured, &mut throw)),
    ];
    if measured.rods {
        let length = column("length", || nm(throw(148_300_000, 60)));
        let mass = column("mass", || Amount::new(throw(5_000_000, 90), Unit::Gram, 4));
        job.stocks.push(stock("rod", vec![length, mass]));
    }
    if measured.read {
        let mut deck = build::readings(&rows(cylinders, &mut throw));
        for row in deck.rows.iter_mut().filter(|_| measured.rods) {
            row.rod = Some((row.part + row.position / 2) % PARTS);
        }
        job.deck = Some(deck);
    }
    if measured.poured {
        job.chambers = Some(pours(measured, &mut throw));
    }
    job
}

type Throw<'a> = &'a mut dyn FnMut(i64, i64) -> i64;

fn set_banks(job: &mut Job, measured: Measured) {
    let first = job.banks[0].clone();
    let head = if measured.turned { HeadSeat::Turned } else { HeadSeat::AsMeasured };
    let split = measured.banks[0];
    let all = split + measured.banks[1];
    job.banks = vec![Bank { cylinders: (0..split).collect(), ..first.clone() }];
    job.banks.push(Bank { name: "other".to_owned(), cylinders: (split..all).collect(), head: Some(head), ..first });
    job.positions[0].banks = (0..all).map(|position| Some(usize::from(position >= split))).collect();
}

fn set_cylinders(job: &mut Job, measured: Measured, throw: Throw<'_>) {
    let cylinders = job.positions[0].len();
    job.engine.bore = Some(nm(throw(100_076_000, 10)));
    job.engine.stroke = Some(nm(throw(86_868_000, 20)));
    job.engine.crevice = Some(cc(throw(700_000, 100)));
    job.engine.rod_length = Some(nm(throw(148_300_000, 60)));
    job.engine.deck_height = Some(nm(throw(231_460_000, 60)));
    if measured.by_cylinder {
        let mut each = |name: &str, mean, step, last: bool| {
            let mut column = build::column(name, &(0..cylinders).map(|_| nm(throw(mean, step))).collect::<Vec<_>>());
            column.values[cylinders - 1] = column.values[cylinders - 1].filter(|_| last);
            column
        };
        // The last cylinder has no bore, throw or deck height of its own: the engine's hold.
        let lengths = [
            each("bore", 100_076_000, 10, false),
            each("throw", 43_434_000, 10, false),
            each("deck_height", 231_460_000, 60, false),
        ];
        let mut crevice = each("crevice", 700_000, 100, true);
        crevice.values = crevice.values.iter().map(|value| value.map(|value| cc(value.ticks()))).collect();
        job.positions[0].columns = Columns::new(lengths.into_iter().chain([crevice]).collect());
    }
}

fn chambers(measured: Measured, throw: Throw<'_>) -> Vec<Column> {
    let most = measured.banks.into_iter().max().unwrap_or(0);
    let mut columns = vec![column("recess", || nm(throw(250_000, 40)))];
    columns.extend((1..=most).map(|k| column(&format!("chamber_{k}"), || cc(throw(61_400_000, 900)))));
    columns
}

fn gaskets(measured: Measured, throw: Throw<'_>) -> Vec<Column> {
    let thickness = column("thickness", || nm(throw(1_041_400, 60)));
    let other = if measured.gasket_volume {
        column("gasket", || cc(throw(8_500_000, 300)))
    } else {
        column("bore", || nm(throw(101_854_000, 60)))
    };
    vec![thickness, other]
}

/// Every piston in the first cylinder, the first piston everywhere: each once.
fn rows(cylinders: usize, throw: Throw<'_>) -> Vec<(usize, usize, i64)> {
    let pairs = (0..cylinders).map(|cylinder| (cylinder, 0)).chain((1..PARTS).map(|piston| (0, piston)));
    // One pair more than a tree needs, so that the estimate has something to weigh.
    let extra = (cylinders > 1).then_some((cylinders - 1, 1));
    pairs.chain(extra).map(|(cylinder, piston)| (cylinder, piston, throw(-100_000, 70))).collect()
}

fn pours(measured: Measured, throw: Throw<'_>) -> ChamberReadings {
    let most = measured.banks.into_iter().max().unwrap_or(0);
    let poured = (0..PARTS - 1).flat_map(|head| (0..most).map(move |chamber| (head, chamber)));
    let rows = poured.flat_map(|of| std::iter::repeat_n(of, 1 + (of.0 + of.1) % 3)).zip(2..);
    let row = |((head, chamber), line)| {
        let value = cc(throw(61_400_000, 900));
        ChamberReading { head, chamber, value, leave_out: false, line }
    };
    ChamberReadings { rows: rows.map(row).collect(), ..ChamberReadings::default() }
}

fn column(name: &str, value: impl FnMut() -> Amount) -> Column {
    build::column(name, &std::iter::repeat_with(value).take(PARTS).collect::<Vec<_>>())
}

fn stock(kind: &str, columns: Vec<Column>) -> Stock {
    let part = |(index, line)| Part { id: format!("{index}"), at: None, fits: None, with: None, count: None, line };
    Stock {
        kind: kind.to_owned(),
        positions: String::new(),
        file: format!("{kind}.csv"),
        parts: (0..PARTS).zip(2..).map(part).collect(),
        columns: Columns::new(columns),
    }
}

/// What `visit` makes of all fits of a job; a fit that lacks something is left out.
///
/// # Panics
/// Panics where the readings cannot be reduced: it is for tests.
pub fn with_fits<T>(job: &Job, visit: impl FnOnce(&[Box<dyn Fit + '_>]) -> T) -> T {
    let deck = job.deck.as_ref().map(|deck| Reduction::new(job, deck, &[]).expect("sound readings"));
    let chambers = ChamberReduction::new(job).expect("sound pours");
    let cast = Cast::new(["piston", "rod", "head", "gasket"], []);
    let all: Vec<_> = fits(job, &cast, deck.as_ref(), chambers.as_ref()).into_iter().flatten().collect();
    visit(&all)
}

/// The seat in which these parts stand, as [`with_fits`] numbers the roles.
#[must_use]
pub fn seat(at: Stand) -> Seat {
    let seat = Seat::empty(at.position).with(0, at.piston).with(2, at.head).with(3, at.gasket);
    at.rod.map_or(seat, |rod| seat.with(1, rod))
}

/// Ticks in one of the units that the second derivation reckons in.
#[must_use]
pub fn ticks(job: &Job, fit: FitName) -> f64 {
    if job.fits.dimension(fit) == Dimension::Mass { 1e4 } else { 1e6 }
}
