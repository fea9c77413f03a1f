//! Invented jobs with invented reports: every outcome, every variant.

use pairwright_engine::job::{
    Aim, Bank, Bounding, Buying, Column, Columns, DeckReading, DeckReadings, EngineSizes, FitName, Goal, Job,
    LimitAsked, Matching, Measured, Next, Part, Pin, PositionLimit, Positions, Positive, Role, Stock,
};
use pairwright_engine::outcome::{Caution, JobReport, MatchReport, Outcome};
use pairwright_engine::plan::{
    Culprit, Impossible, Lack, LimitKind, NoPlan, Nothing, Setting, Stated, TooCoarse, WhyNone,
};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_proof::Refutation;

use super::sample_findings::{quiet, telling};
use super::sample_heads;
use super::sample_plan::{best_found, nominal, planned};

/// Ten-thousandths of an inch as ticks.
pub(super) const fn tenths(number: i64) -> i64 {
    number * 2_540
}

pub(super) fn inches(number: i64) -> Amount {
    Amount::new(tenths(number), Unit::Inch, 4)
}

pub(super) fn grams(tenths_of_a_gram: i64) -> Amount {
    Amount::new(tenths_of_a_gram * 1_000, Unit::Gram, 1)
}

/// A vee four with six pistons: A to D stand in 1 to 4, E and F 2 are spare.
pub(super) fn job() -> Job {
    let column = |name: &str, values: Vec<Amount>| Column {
        name: name.to_owned(),
        values: values.into_iter().map(Some).collect(),
    };
    Job {
        title: "Dorn four, pump set".to_owned(),
        units: Unit::Inch,
        risk: 0.025,
        seed: 7,
        engine: EngineSizes::default(),
        banks: vec![bank("left", vec![0, 1]), bank("right", vec![2, 3])],
        positions: vec![Positions {
            order: Vec::new(),
            others: Vec::new(),
            kind: "cylinder".to_owned(),
            file: Some("cylinders.csv".to_owned()),
            ids: ["1", "3", "2", "4"].map(str::to_owned).to_vec(),
            banks: vec![Some(0), Some(0), Some(1), Some(1)],
            lines: vec![2, 3, 4, 5],
            columns: Columns::new(vec![column("bore", [39_402, 39_403, 39_404, 39_401].map(inches).to_vec())]),
            limits: vec![PositionLimit {
                fit: FitName::Skirt,
                side: Bounding::Min,
                values: vec![Some(inches(32)), Some(inches(32)), Some(inches(34)), None],
            }],
        }],
        stocks: vec![pistons(), rods()],
        uncertainty: Vec::new(),
        fits: pairwright_engine::job::DeclaredFits::default(),
        chambers: None,
        ledger: pairwright_engine::job::Ledger::default(),
        deck: Some(readings()),
        matches: vec![matching(even())],
        machined: pairwright_engine::job::Machined::default(),
        what_ifs: Vec::new(),
    }
}

fn bank(name: &str, cylinders: Vec<usize>) -> Bank {
    Bank { name: name.to_owned(), cylinders, head: None, straight: false, form: None, line: 8 }
}

fn pistons() -> Stock {
    let part = |(line, (id, at)): (u32, (&str, Option<usize>))| Part {
        id: id.to_owned(),
        at,
        fits: None,
        with: None,
        count: None,
        line,
    };
    let parts = [("A", Some(0)), ("B", Some(1)), ("C", Some(2)), ("D", Some(3)), ("E", None), ("F 2", None)];
    let masses = [6120, 6152, 6121, 6120, 6119, 6133].map(|mass| Some(grams(mass))).to_vec();
    Stock {
        kind: "piston".to_owned(),
        positions: String::new(),
        file: "pistons.csv".to_owned(),
        parts: (2..).zip(parts).map(part).collect(),
        columns: Columns::new(vec![Column { name: "mass".to_owned(), values: masses }]),
    }
}

fn rods() -> Stock {
    let part =
        |(line, id): (u32, &str)| Part { id: id.to_owned(), at: None, fits: None, with: None, count: None, line };
    Stock {
        kind: "rod".to_owned(),
        positions: String::new(),
        file: "rods.csv".to_owned(),
        parts: (2..).zip(["R1", "R2"]).map(part).collect(),
        columns: Columns::default(),
    }
}

fn readings() -> DeckReadings {
    let row = |(line, (position, part, value)): (u32, (usize, usize, i64))| DeckReading {
        position,
        part,
        value: inches(value),
        rod: (line == 5).then_some(1),
        spot: None,
        leave_out: line == 9,
        line,
    };
    let rows = [(0, 0, 60), (0, 0, 65), (1, 0, 55), (2, 0, 50), (3, 0, 45), (0, 1, 70), (0, 2, 62), (0, 3, 90)];
    DeckReadings {
        file: "deck.csv".to_owned(),
        rows: (2..).zip(rows).map(row).collect(),
        resolution: Some(inches(5)),
        repeatability: None,
        positive: Positive::Below,
        control_rod: Some(0),
        spots: Vec::new(),
    }
}

pub(super) fn even() -> Aim {
    Aim { fit: FitName::Deck, goal: Goal::Even, by: Measured::Spread, slack: None }
}

pub(super) fn matching(aim: Aim) -> Matching {
    Matching {
        positions: 0,
        gasket_per_bank: false,
        name: "short block".to_owned(),
        place: vec![Role::of("piston")],
        aim,
        then: None,
        buying: Buying::default(),
        limits: vec![
            LimitAsked {
                fit: FitName::Deck,
                min: None,
                max: Some(inches(0)),
                spread: None,
                neighbours: None,
                guard: true,
                line: 20,
            },
            LimitAsked {
                fit: FitName::Mass,
                min: None,
                max: None,
                spread: Some(grams(20)),
                neighbours: None,
                guard: false,
                line: 21,
            },
        ],
        keep: vec![Pin { position: 1, part: 2, role: 0 }],
        bar: vec![Pin { position: 0, part: 5, role: 0 }, Pin { position: 2, part: 5, role: 0 }],
        line: 16,
    }
}

const CAUTIONS: [Caution; 7] = [
    Caution::FromReadings,
    Caution::MockUp,
    Caution::RunningClearance,
    Caution::OneTemperature,
    Caution::Balance,
    Caution::HonedBores,
    Caution::FiguresFirst,
];

fn report(outcomes: Vec<Outcome>) -> JobReport {
    JobReport {
        pours: None,
        before: Vec::new(),
        ledger: None,
        readings: Some(quiet()),
        matches: (0..).zip(outcomes).map(|(index, outcome)| MatchReport { index, outcome }).collect(),
        cautions: CAUTIONS.to_vec(),
    }
}

/// A plan with everything said about it, and every finding about the readings.
pub(super) fn full() -> (Job, JobReport) {
    let mut report = report(vec![Outcome::Planned(Box::new(planned()))]);
    report.readings = Some(telling());
    (job(), report)
}

/// Three matches: with slack, near a target with a `then`, and a total that is only the best found.
pub(super) fn several() -> (Job, JobReport) {
    let mut job = job();
    let squares = Aim { by: Measured::Squares, slack: Some(inches(5)), ..even() };
    let near = Aim { goal: Goal::Near(inches(-50)), by: Measured::Worst, ..even() };
    let total = Aim { fit: FitName::Deck, goal: Goal::Highest, by: Measured::Total, slack: None };
    job.matches = [("first", squares), ("second", near), ("third", total)]
        .map(|(name, aim)| Matching { name: name.to_owned(), ..matching(aim) })
        .to_vec();
    job.matches[1].then = Some(vec![Next::Spread(FitName::Mass), Next::Moves, Next::Price]);
    job.matches[1].keep.clear();
    job.matches[2].bar.clear();
    let mut second = planned();
    second.plan.summary.worst = Some(tenths(9));
    let outcomes = [planned(), second, best_found()].map(|planned| Outcome::Planned(Box::new(planned)));
    (job, report(outcomes.to_vec()))
}

/// No plan but a nominal one, with every culprit and readings too coarse.
pub(super) fn impossible() -> (Job, JobReport) {
    let limit = |fit, kind, enough| Culprit::Limit { fit, kind, enough, setting: Setting::default() };
    let coarse = |position, repeats| TooCoarse {
        fit: FitName::Deck,
        position,
        room: tenths(10),
        bands: tenths(13) as f64,
        repeats,
    };
    let why = Impossible {
        setting: Setting::default(),
        by_widest_band: false,
        no_plan: NoPlan {
            stated: Stated { settings: 1, ..Stated::default() },
            why: WhyNone::BySetting(vec![Nothing::Alone(Refutation::Slots { slots: Vec::new(), items: Vec::new() })]),
        },
        positions: vec![0, 1, 2],
        parts: vec![0, 5],
        culprits: vec![
            limit(FitName::Skirt, LimitKind::Side(Bounding::Min), Some(tenths(3) - 199)),
            limit(FitName::Deck, LimitKind::Side(Bounding::Max), None),
            limit(FitName::Mass, LimitKind::Spread, Some(4_100)),
            Culprit::KeepOrBar,
            Culprit::Fits,
            Culprit::Untied,
        ],
        nominal: Some(Box::new(nominal())),
        too_coarse: vec![coarse(0, Some(2)), coarse(2, Some(2)), coarse(3, None)],
    };
    (job(), report(vec![Outcome::Impossible(Box::new(why))]))
}

/// No plan, and nothing said but that one position has no part.
pub(super) fn bare_impossible() -> (Job, JobReport) {
    let why = Impossible {
        setting: Setting::default(),
        by_widest_band: false,
        no_plan: NoPlan { stated: Stated { settings: 1, ..Stated::default() }, why: WhyNone::Unproven },
        positions: vec![3],
        parts: Vec::new(),
        culprits: vec![Culprit::Fits],
        nominal: None,
        too_coarse: Vec::new(),
    };
    let mut report = report(vec![Outcome::Impossible(Box::new(why))]);
    report.cautions.clear();
    report.readings = None;
    (Job { deck: None, ..job() }, report)
}

/// A match that cannot be tried.
pub(super) fn missing() -> (Job, JobReport) {
    let lack = |fit, what: &str| Lack { fit, what: what.to_owned() };
    let lacks = vec![
        lack(FitName::Deck, "dial readings: `[readings] deck` in the job file"),
        lack(FitName::Skirt, "a `diameter` column in the piston stock"),
    ];
    let mut report = report(vec![Outcome::Missing(lacks)]);
    report.readings = None;
    report.cautions.clear();
    (Job { deck: None, ..job() }, report)
}

/// Labels that no page should trip over: escape sequences, wide characters, long ones.
pub(super) fn hostile() -> (Job, JobReport) {
    let (mut job, report) = full();
    job.title = "Title \u{1b}[31mred\u{1b}[0m\nand a second line".to_owned();
    job.matches[0].name = "直列".to_owned();
    job.stocks[0].parts[1].id = "an-uncommonly-long-label-of-a-piston-without-any-blank-in-it".to_owned();
    job.stocks[0].parts[2].id = "=1+1,\"quoted\"".to_owned();
    (job, report)
}

/// All of them by name.
pub(super) fn all() -> Vec<(&'static str, Job, JobReport)> {
    [
        ("full", full()),
        ("several", several()),
        ("impossible", impossible()),
        ("bare impossible", bare_impossible()),
        ("missing", missing()),
        ("hostile", hostile()),
        ("heads", sample_heads::planned()),
        ("a gasket a bank", sample_heads::a_gasket_a_bank()),
        ("heads impossible", sample_heads::impossible()),
        ("hostile heads", sample_heads::hostile()),
    ]
    .map(|(name, (job, report))| (name, job, report))
    .into()
}
