//! A job of one bank whose sizes the tests change.

use crate::fit::{Cast, Fit, Seat, fits};
use crate::job::{Bank, Column, Columns, DeckReading, DeckReadings, EngineSizes, FitName, Job, Part, Positions, Stock};
use crate::quantity::{Amount, Unit};
use crate::reduction::{ChamberReduction, Reduction};

pub(super) fn inches(ten_thousandths: i64) -> Amount {
    Amount::new(ten_thousandths * 2_540, Unit::Inch, 4)
}

pub(super) fn um(micrometres: i64) -> Amount {
    Amount::new(micrometres * 1_000, Unit::Millimetre, 3)
}

pub(super) fn cc(tenths: i64) -> Amount {
    Amount::new(tenths * 100_000, Unit::CubicCentimetre, 1)
}

pub(super) fn column(name: &str, values: &[Amount]) -> Column {
    Column { name: name.to_owned(), values: values.iter().copied().map(Some).collect() }
}

pub(super) fn stock(kind: &str, parts: usize, columns: Vec<Column>) -> Stock {
    let part = |index| Part {
        id: format!("{kind} {index}"),
        at: None,
        fits: None,
        with: None,
        count: None,
        line: 2 + u32::try_from(index).unwrap(),
    };
    Stock {
        kind: kind.to_owned(),
        positions: String::new(),
        file: format!("{kind}.csv"),
        parts: (0..parts).map(part).collect(),
        columns: Columns::new(columns),
    }
}

/// Cylinders on one bank, nothing measured.
pub(super) fn job(cylinders: usize) -> Job {
    Job {
        title: String::new(),
        units: Unit::Inch,
        risk: 0.025,
        seed: 1,
        engine: EngineSizes::default(),
        banks: vec![Bank {
            name: "row".to_owned(),
            cylinders: (0..cylinders).collect(),
            head: None,
            straight: false,
            form: None,
            line: 1,
        }],
        positions: vec![Positions {
            order: Vec::new(),
            others: Vec::new(),
            kind: "cylinder".to_owned(),
            ids: (1..=cylinders).map(|id| id.to_string()).collect(),
            banks: vec![Some(0); cylinders],
            lines: vec![0; cylinders],
            ..Positions::default()
        }],
        stocks: Vec::new(),
        uncertainty: Vec::new(),
        fits: crate::job::DeclaredFits::default(),
        deck: None,
        chambers: None,
        ledger: crate::job::Ledger::default(),
        matches: Vec::new(),
        machined: crate::job::Machined::default(),
        what_ifs: Vec::new(),
    }
}

/// Readings `(cylinder, piston, rod, value)` from line 2 on.
pub(super) fn readings(rows: &[(usize, usize, Option<usize>, Amount)]) -> DeckReadings {
    let row = |(line, &(position, part, rod, value)): (u32, &(usize, usize, Option<usize>, Amount))| DeckReading {
        position,
        part,
        value,
        rod,
        spot: None,
        leave_out: false,
        line,
    };
    DeckReadings { rows: (2..).zip(rows).map(row).collect(), ..DeckReadings::default() }
}

/// The engine of the design's sign test: bore 3.940, stroke 3.420, chambers 61.4 cc, gasket 4.010 × 0.041,
/// dish 3.2 cc, and the piston `below` by so many ten-thousandths of an inch.
pub(super) fn sign_job(below: i64) -> Job {
    let mut job = job(1);
    job.engine.bore = Some(inches(39_400));
    job.engine.stroke = Some(inches(34_200));
    job.stocks = vec![
        stock("piston", 1, vec![column("dish", &[cc(32)])]),
        stock("head", 1, vec![column("chamber_1", &[cc(614)])]),
        stock("gasket", 1, vec![column("thickness", &[inches(410)]), column("bore", &[inches(40_100)])]),
    ];
    job.deck = Some(readings(&[(0, 0, None, inches(-below))]));
    job
}

pub(super) fn cast() -> Cast {
    Cast::new(["piston", "head", "gasket", "rod"], [])
}

/// A seat of the first part of every kind.
pub(super) fn first(position: usize) -> Seat {
    Seat::empty(position).with(0, 0).with(1, 0).with(2, 0)
}

/// What `ask` makes of the fit called `name`.
pub(super) fn ask<T>(job: &Job, name: FitName, ask: impl FnOnce(&dyn Fit) -> T) -> T {
    let deck = job.deck.as_ref().map(|deck| Reduction::new(job, deck, &[]).unwrap());
    let chambers = ChamberReduction::new(job).unwrap();
    let fits = fits(job, &cast(), deck.as_ref(), chambers.as_ref());
    let at = FitName::BUILT_IN.iter().position(|&known| known == name).unwrap();
    ask(fits[at].as_ref().unwrap().as_ref())
}

pub(super) fn value(job: &Job, name: FitName, seat: Seat) -> Option<i64> {
    ask(job, name, |fit| fit.value(seat))
}
