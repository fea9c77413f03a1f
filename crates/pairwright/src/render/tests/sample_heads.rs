//! An invented job of pistons, rods, heads and gaskets, with what the engine makes of it.

use std::sync::LazyLock;

use pairwright_engine::job::{
    Aim, Bank, Buying, ChamberReading, ChamberReadings, Column, Columns, EngineSizes, FitName, Goal, HeadSeat, Job,
    LimitAsked, Matching, Measured, Part, Positions, Role, Stock,
};
use pairwright_engine::outcome::{JobReport, match_job};
use pairwright_engine::quantity::{Amount, Unit};

use super::sample::{grams, inches};

fn cc(hundredths: i64) -> Amount {
    Amount::new(hundredths * 10_000, Unit::CubicCentimetre, 2)
}

pub(super) fn ratio(thousandths: i64) -> Amount {
    Amount::new(thousandths * 1_000, Unit::One, 3)
}

/// A vee four with a head a bank, the right one sitting end for end.
pub(super) fn job() -> Job {
    Job {
        title: "Brack four, heads on".to_owned(),
        units: Unit::Inch,
        risk: 0.025,
        seed: 11,
        engine: EngineSizes {
            bore: Some(inches(40_300)),
            stroke: Some(inches(34_800)),
            crevice: Some(cc(60)),
            ..EngineSizes::default()
        },
        banks: vec![bank("left", vec![0, 1], HeadSeat::AsMeasured), bank("right", vec![2, 3], HeadSeat::Turned)],
        positions: vec![Positions {
            order: Vec::new(),
            others: Vec::new(),
            kind: "cylinder".to_owned(),
            file: Some("cylinders.csv".to_owned()),
            ids: ["1", "3", "2", "4"].map(str::to_owned).to_vec(),
            banks: vec![Some(0), Some(0), Some(1), Some(1)],
            lines: vec![2, 3, 4, 5],
            columns: Columns::new(vec![column("deck_height", &[90_052, 90_047, 90_061, 90_058].map(inches))]),
            limits: Vec::new(),
        }],
        stocks: vec![pistons(), rods(), heads(), gaskets()],
        fits: pairwright_engine::job::DeclaredFits::default(),
        uncertainty: vec![
            ("deck_height".to_owned(), inches(3)),
            ("compression_height".to_owned(), inches(2)),
            ("length".to_owned(), inches(2)),
            ("thickness".to_owned(), inches(5)),
            ("dish".to_owned(), cc(10)),
        ],
        deck: None,
        chambers: Some(pours()),
        matches: vec![matching()],
        ledger: pairwright_engine::job::Ledger::default(),
        machined: pairwright_engine::job::Machined::default(),
        what_ifs: Vec::new(),
    }
}

fn bank(name: &str, cylinders: Vec<usize>, head: HeadSeat) -> Bank {
    Bank { name: name.to_owned(), cylinders, head: Some(head), straight: false, form: None, line: 9 }
}

fn column(name: &str, values: &[Amount]) -> Column {
    Column { name: name.to_owned(), values: values.iter().copied().map(Some).collect() }
}

fn stock(kind: &str, parts: &[(&str, Option<usize>)], columns: Vec<Column>) -> Stock {
    let part = |(line, &(id, at)): (u32, &(&str, Option<usize>))| Part {
        id: id.to_owned(),
        at,
        fits: None,
        with: None,
        count: None,
        line,
    };
    Stock {
        kind: kind.to_owned(),
        positions: String::new(),
        file: format!("{kind}s.csv"),
        parts: (2..).zip(parts).map(part).collect(),
        columns: Columns::new(columns),
    }
}

fn pistons() -> Stock {
    let parts = [("A", Some(0)), ("B", Some(1)), ("C", Some(2)), ("D", Some(3)), ("E", None)];
    stock(
        "piston",
        &parts,
        vec![
            column("compression_height", &[15_602, 15_596, 15_605, 15_599, 15_590].map(inches)),
            column("dish", &[270, 282, 265, 274, 288].map(cc)),
            column("mass", &[4_120, 4_133, 4_128, 4_119, 4_126].map(grams)),
        ],
    )
}

fn rods() -> Stock {
    let parts = [("R1", Some(0)), ("R2", Some(1)), ("R3", Some(2)), ("R4", Some(3)), ("R5", None)];
    let length = column("length", &[57_003, 56_998, 57_001, 56_994, 57_006].map(inches));
    stock("rod", &parts, vec![length, column("mass", &[5_610; 5].map(grams))])
}

fn heads() -> Stock {
    let recess = column("recess", &[0, 0, 10].map(inches));
    stock("head", &[("H1", Some(0)), ("H2", Some(1)), ("H3", None)], vec![recess])
}

fn gaskets() -> Stock {
    let parts = [("thin", None), ("usual", Some(0)), ("thick", None)];
    let thickness = [280, 410, 540].map(inches);
    stock("gasket", &parts, vec![column("thickness", &thickness), column("bore", &[41_000; 3].map(inches))])
}

/// Three pours of every chamber: those of H2's second disagree.
fn pours() -> ChamberReadings {
    let chambers = [(0, 0, 6_410), (0, 1, 6_432), (1, 0, 6_445), (1, 1, 6_404), (2, 0, 6_421), (2, 1, 6_418)];
    let off = [[0, 5, -5], [5, 0, 5], [0, 0, 5], [0, 5, 160], [5, 5, 0], [0, -5, 5]];
    let rows = chambers.into_iter().zip(off);
    let rows = rows.flat_map(|((head, chamber, value), off)| off.map(|off| (head, chamber, value + off)));
    let row = |(line, (head, chamber, value)): (u32, (usize, usize, i64))| ChamberReading {
        head,
        chamber,
        value: cc(value),
        leave_out: false,
        line,
    };
    ChamberReadings {
        file: "chambers.csv".to_owned(),
        rows: (2..).zip(rows).map(row).collect(),
        resolution: Some(cc(5)),
        repeatability: None,
    }
}

pub(super) fn limit(fit: FitName) -> LimitAsked {
    LimitAsked { fit, min: None, max: None, spread: None, neighbours: None, guard: true, line: 30 }
}

fn matching() -> Matching {
    Matching {
        positions: 0,
        name: "long block".to_owned(),
        place: ["piston", "rod", "head", "gasket"].map(Role::of).to_vec(),
        gasket_per_bank: false,
        aim: Aim { fit: FitName::Compression, goal: Goal::Even, by: Measured::Spread, slack: None },
        then: None,
        buying: Buying::default(),
        limits: vec![
            LimitAsked { min: Some(inches(380)), max: Some(inches(600)), ..limit(FitName::PistonToHead) },
            LimitAsked { neighbours: Some(ratio(120)), ..limit(FitName::Compression) },
        ],
        keep: Vec::new(),
        bar: Vec::new(),
        line: 24,
    }
}

fn matched(job: Job) -> (Job, JobReport) {
    let report = match_job(&job, None).expect("the job can be matched");
    (job, report)
}

/// A plan with everything said about it.
pub(super) fn planned() -> (Job, JobReport) {
    static MADE: LazyLock<(Job, JobReport)> = LazyLock::new(|| matched(job()));
    MADE.clone()
}

/// The same with a gasket a bank, placed in another order, and pistons with domes.
pub(super) fn a_gasket_a_bank() -> (Job, JobReport) {
    static MADE: LazyLock<(Job, JobReport)> = LazyLock::new(|| {
        let mut job = job();
        let sizes = job.stocks[0].columns.iter().cloned().map(|column| match column.name.as_str() {
            "dish" => self::column("dish", &[-270, -282, -265, -274, -288].map(cc)),
            _ => column,
        });
        job.stocks[0].columns = Columns::new(sizes.collect());
        let matching = &mut job.matches[0];
        matching.place = ["head", "gasket", "piston"].map(Role::of).to_vec();
        matching.gasket_per_bank = true;
        matching.aim.goal = Goal::Near(ratio(11_200));
        matching.aim.by = Measured::Worst;
        matching.limits.truncate(1);
        matched(job)
    });
    MADE.clone()
}

/// Nothing holds: the greatest compression allowed is too low for the gaskets there are.
pub(super) fn impossible() -> (Job, JobReport) {
    static MADE: LazyLock<(Job, JobReport)> = LazyLock::new(|| {
        let mut job = job();
        job.matches[0].limits[1].max = Some(ratio(9_500));
        matched(job)
    });
    MADE.clone()
}

/// Labels that no page should trip over, of what serves a bank and of the banks themselves.
pub(super) fn hostile() -> (Job, JobReport) {
    let (mut job, report) = planned();
    job.banks[0].name = "the bank on the side of the inlet".to_owned();
    job.banks[1].name = "\u{1b}[31m直列".to_owned();
    for stock in &mut job.stocks[1..] {
        for part in &mut stock.parts {
            part.id = format!("{} an-uncommonly-long-label-without-any-blank-in-it", part.id);
        }
    }
    job.chambers.iter_mut().for_each(|pours| pours.file = "pours\tof chambers.csv".to_owned());
    (job, report)
}
