//! Small jobs in memory.

use pairwright_engine::job::{
    Aim, Bank, Buying, Column, Columns, DeckReading, DeckReadings, EngineSizes, FitName, Goal, Job, Matching, Measured,
    Part, Positions, Role, Stock,
};
use pairwright_engine::quantity::{Amount, Unit};

/// An amount of so many nanometres, shown in millimetres.
#[must_use]
pub fn nm(ticks: i64) -> Amount {
    Amount::new(ticks, Unit::Millimetre, 6)
}

/// A job of `cylinders` × `pistons` on one bank with nothing measured and one match: most even
/// deck clearance.
#[must_use]
pub fn job(cylinders: usize, pistons: usize) -> Job {
    Job {
        title: "A job of a test".to_owned(),
        units: Unit::Millimetre,
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
        stocks: vec![Stock {
            kind: "piston".to_owned(),
            positions: String::new(),
            file: "pistons.csv".to_owned(),
            parts: (0..pistons).map(part).collect(),
            columns: Columns::default(),
        }],
        uncertainty: Vec::new(),
        fits: pairwright_engine::job::DeclaredFits::default(),
        chambers: None,
        ledger: pairwright_engine::job::Ledger::default(),
        deck: None,
        matches: vec![most_even(FitName::Deck)],
        machined: pairwright_engine::job::Machined::default(),
        what_ifs: Vec::new(),
    }
}

fn part(index: usize) -> Part {
    Part {
        id: format!("P{index}"),
        at: None,
        fits: None,
        with: None,
        count: None,
        line: 2 + u32::try_from(index).unwrap_or(0),
    }
}

/// A match that asks for the least spread of `fit`.
#[must_use]
pub fn most_even(fit: FitName) -> Matching {
    Matching {
        positions: 0,
        gasket_per_bank: false,
        name: "match 1".to_owned(),
        place: vec![Role::of("piston")],
        aim: Aim { fit, goal: Goal::Even, by: Measured::Spread, slack: None },
        then: None,
        buying: Buying::default(),
        limits: Vec::new(),
        keep: Vec::new(),
        bar: Vec::new(),
        line: 10,
    }
}

/// Readings in mm of six decimals with a step of 1 nm, one line each from line 2:
/// `(cylinder, piston, nm)`.
#[must_use]
pub fn readings(rows: &[(usize, usize, i64)]) -> DeckReadings {
    let row = |(line, &(position, part, ticks)): (u32, &(usize, usize, i64))| DeckReading {
        position,
        part,
        value: nm(ticks),
        rod: None,
        spot: None,
        leave_out: false,
        line,
    };
    DeckReadings {
        file: "readings.csv".to_owned(),
        rows: (2..).zip(rows).map(row).collect(),
        ..DeckReadings::default()
    }
}

/// A column of a stock or a positions file.
#[must_use]
pub fn column(name: &str, values: &[Amount]) -> Column {
    Column { name: name.to_owned(), values: values.iter().copied().map(Some).collect() }
}
