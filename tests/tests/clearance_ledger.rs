//! The clearance ledger against a derivation of its own, every choice there is, and its own headroom put back in.

use pairwright_engine::clearance::{LedgerReport, Lever, Room, State, as_read_in, ledger};
use pairwright_engine::job::{
    Change, Clearance, Column, Columns, Dish, FitName, Job, Ledger, Moves, Part, ReadWith, Role, Since, Stock, Surface,
    WhatIf,
};
use pairwright_engine::outcome::{JobReport, Outcome, match_job, recheck};
use pairwright_engine::plan::{Culprit, Taken};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_engine::reduction::Reductions;
use pairwright_engine::what_if::{RowOutcome, compare};
use pairwright_tests::{brute, build};
use proptest::prelude::*;

/// A row of cylinders, pistons and gaskets, all in nm, with entries of the ledger.
#[derive(Clone, Debug)]
struct Bench {
    pistons: Vec<i64>,
    cylinders: Vec<i64>,
    gaskets: Vec<i64>,
    entries: Vec<Entry>,
}

#[derive(Clone, Copy, Debug)]
struct Entry {
    cylinder: usize,
    piston: usize,
    gasket: usize,
    surface: Option<Surface>,
    /// Whole degrees.
    angle: i64,
    /// Thousandths, where the sensitivities are stated.
    stated: Option<[i64; 2]>,
    reading: i64,
    minimum: i64,
}

/// Readings and minima are further apart than any guard band of these jobs, whose gauges step by 1 nm.
const NEAR: f64 = 200.0;

impl Bench {
    fn job(&self) -> Job {
        let mut job = build::job(self.cylinders.len(), self.pistons.len());
        let control = (0..self.cylinders.len()).map(|at| (at, 0, self.pistons[0] + self.cylinders[at]));
        let others = (1..self.pistons.len()).map(|piston| (0, piston, self.pistons[piston] + self.cylinders[0]));
        job.deck = Some(build::readings(&control.chain(others).collect::<Vec<_>>()));
        let thickness = build::column("thickness", &self.gaskets.iter().map(|&t| build::nm(t)).collect::<Vec<_>>());
        job.stocks.push(stock("gasket", self.gaskets.len(), vec![thickness]));
        job.matches[0].place.push(Role::of("gasket"));
        job.ledger.entries = self.entries.iter().enumerate().map(|(at, entry)| entry.clearance(at)).collect();
        job.fits = job.fits.clone().with_entries(&job.ledger);
        job
    }

    /// What is left of an entry with these parts, in nm, by plain floats.
    fn left(&self, entry: &Entry, piston: usize, gasket: usize) -> f64 {
        let rise = (self.pistons[piston] - self.pistons[entry.piston]) as f64;
        let thicker = (self.gaskets[gasket] - self.gaskets[entry.gasket]) as f64;
        let reading = entry.reading as f64;
        if let Some([deck, per_gasket]) = entry.stated {
            return reading + deck as f64 * rise / 1000.0 + per_gasket as f64 * thicker / 1000.0;
        }
        let cosine = (entry.angle as f64).to_radians().cos();
        let pocket = reading - (rise - thicker) * cosine;
        let flat = reading - (rise - thicker) / cosine;
        match entry.surface {
            Some(Surface::Pocket) => pocket,
            Some(Surface::Flat) => flat,
            None => pocket.min(flat),
        }
    }

    /// The least spread of deck clearance over every choice that holds every entry, with any one gasket.
    fn best(&self, lower: &dyn Fn(usize) -> f64) -> Option<i64> {
        let holds = |position: usize, piston: usize, gasket: usize| {
            let here = self.entries.iter().enumerate().filter(|(_, entry)| entry.cylinder == position);
            here.into_iter().all(|(at, entry)| self.left(entry, piston, gasket) >= entry.minimum as f64 - lower(at))
        };
        let with = |gasket: usize| {
            let row = |position| (0..self.pistons.len()).map(|piston| holds(position, piston, gasket)).collect();
            let allowed: Vec<Vec<bool>> = (0..self.cylinders.len()).map(row).collect();
            brute::least(&allowed, |chosen| {
                let values = || chosen.iter().enumerate().map(|(at, &part)| self.pistons[part] + self.cylinders[at]);
                values().max().unwrap_or(0) - values().min().unwrap_or(0)
            })
        };
        (0..self.gaskets.len()).filter_map(with).min()
    }

    /// Some entry is so near its minimum with some parts that the guard band decides.
    fn is_close(&self) -> bool {
        let parts =
            || (0..self.pistons.len()).flat_map(|piston| (0..self.gaskets.len()).map(move |gasket| (piston, gasket)));
        let near = |entry: &Entry| {
            parts().any(|(piston, gasket)| (self.left(entry, piston, gasket) - entry.minimum as f64).abs() < NEAR)
        };
        self.entries.iter().any(near)
    }
}

impl Entry {
    fn clearance(&self, at: usize) -> Clearance {
        let moves = match self.stated {
            Some([deck, gasket]) => Moves::Stated { deck: deck * 1_000, gasket: gasket * 1_000, lift: 0 },
            None => Moves::PistonToValve { surface: self.surface, angle: self.angle * 1_000_000 },
        };
        Clearance {
            name: format!("entry {at}"),
            moves,
            cylinder: Some(self.cylinder),
            valve: None,
            reading: build::nm(self.reading),
            u: None,
            minimum: build::nm(self.minimum),
            read_with: ReadWith { piston: Some(self.piston), gasket: Some(self.gasket), ..ReadWith::default() },
            since: Since::default(),
            measure_again: false,
            line: 2,
        }
    }
}

fn stock(kind: &str, parts: usize, columns: Vec<Column>) -> Stock {
    let part =
        |(index, line)| Part { id: format!("{kind} {index}"), at: None, fits: None, with: None, count: None, line };
    Stock {
        kind: kind.to_owned(),
        positions: String::new(),
        file: format!("{kind}s.csv"),
        parts: (0..parts).zip(2..).map(part).collect(),
        columns: Columns::new(columns),
    }
}

fn benches() -> impl Strategy<Value = Bench> {
    let effects = |n: std::ops::RangeInclusive<usize>| {
        prop::collection::vec(-60_i64..60, n).prop_map(|v| v.into_iter().map(|x| x * 2_540).collect::<Vec<i64>>())
    };
    let entry = (
        (0_usize..3, 0_usize..4, 0_usize..2),
        prop::option::of(prop::sample::select(vec![Surface::Pocket, Surface::Flat])),
        0_i64..=60,
        prop::option::weighted(0.3, [-1_200_i64..1_200, -1_200_i64..1_200]),
        (2_000_i64..2_200, 1_700_i64..2_200),
    );
    let parts = (effects(4..=6), effects(3..=4), prop::collection::vec(390_i64..520, 2..=3));
    (parts, prop::collection::vec(entry, 1..=4)).prop_map(|((pistons, cylinders, gaskets), entries)| Bench {
        pistons,
        cylinders,
        gaskets: gaskets.into_iter().map(|thickness| thickness * 2_540).collect(),
        entries: entries
            .into_iter()
            .map(|((cylinder, piston, gasket), surface, angle, stated, (reading, minimum))| Entry {
                cylinder,
                piston,
                gasket,
                surface,
                angle,
                stated,
                reading: reading * 1_000,
                minimum: minimum * 1_000,
            })
            .collect(),
    })
}

fn planned(report: &JobReport) -> Option<(Vec<usize>, usize, i64)> {
    match &report.matches[0].outcome {
        Outcome::Planned(planned) => {
            let plan = &planned.plan;
            let parts = plan.placements.iter().map(|place| place.parts[0]).collect();
            Some((parts, plan.setting.served[0].part, plan.summary.spread))
        }
        Outcome::Impossible(_) => None,
        other => panic!("{other:?}"),
    }
}

/// The ledger of a job with the plan of a report.
fn carried(job: &Job, report: &JobReport) -> LedgerReport {
    let mut taken = Taken::default();
    let Outcome::Planned(planned) = &report.matches[0].outcome else { panic!("a plan") };
    planned.certificate.take(job, 0, &mut taken);
    ledger(job, &Reductions::new(job).expect("sound readings"), &taken).expect("a ledger")
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// The plan is the best of those that hold every entry, or there is none; what is left is what plain formulas say;
    /// the certificate is accepted when it is gone over.
    #[test]
    fn prop_entries_are_limits_and_carried_over(bench in benches()) {
        prop_assume!(!bench.is_close());
        let job = bench.job();
        let report = match_job(&job, None).expect("the checker accepts the answer");
        let found = planned(&report);
        prop_assert_eq!(found.as_ref().map(|found| found.2), bench.best(&|_| 0.0));
        let Some((parts, gasket, _)) = found else {
            return Ok(());
        };
        let entries = &report.ledger.as_ref().expect("a ledger").entries;
        prop_assert_eq!(entries.len(), bench.entries.len());
        for (carried, entry) in entries.iter().zip(&bench.entries) {
            let expected = bench.left(entry, parts[entry.cylinder], gasket);
            let left = carried.left.expect("known").value as f64;
            prop_assert!((left - expected).abs() <= 1.5, "{} against {}", left, expected);
            prop_assert_eq!(carried.state, State::Held);
        }
        let Outcome::Planned(planned) = &report.matches[0].outcome else { unreachable!("it has a plan") };
        prop_assert!(recheck(&job, 0, &Taken::default(), &planned.certificate).is_ok());
    }

    /// Where no plan holds the entries, one of them is named, and lowering it by what is said is enough while a little
    /// less is not.
    #[test]
    fn prop_the_smallest_change_of_an_entry_is_enough(bench in benches()) {
        prop_assume!(!bench.is_close() && bench.best(&|_| 0.0).is_none());
        let report = match_job(&bench.job(), None).expect("the checker accepts the answer");
        let Outcome::Impossible(why) = &report.matches[0].outcome else { panic!("{:?}", report.matches[0].outcome) };
        let named = why.culprits.iter().filter_map(|culprit| match culprit {
            Culprit::Limit { fit: FitName::Entry(id), enough, .. } => Some((id.index(), *enough)),
            _ => None,
        });
        let named: Vec<_> = named.collect();
        prop_assert!(!named.is_empty(), "{:?}", why.culprits);
        for (at, enough) in named {
            let Some(enough) = enough else { continue };
            let by = |ticks: f64| bench.best(&|entry| if entry == at { ticks } else { 0.0 });
            prop_assert!(by(enough as f64 + 1.0).is_some());
            prop_assert!(by(enough as f64 - NEAR).is_none());
        }
    }

    /// Headroom put back in: the entry is held by nothing more, and one tick further it is not.
    #[test]
    fn prop_headroom_is_exact(bench in benches()) {
        prop_assume!(!bench.is_close());
        let job = bench.job();
        let report = match_job(&job, None).expect("the checker accepts the answer");
        prop_assume!(planned(&report).is_some());
        let before = carried(&job, &report);
        prop_assert_eq!(Some(&before), report.ledger.as_ref());
        for (at, entry) in before.entries.iter().enumerate() {
            for lever in Lever::ALL {
                let Room::Upto(room) = entry.headroom.expect("known").of(lever) else { continue };
                let after = |by: i64| {
                    let mut changed = job.clone();
                    let since = &mut changed.ledger.entries[at].since;
                    match lever {
                        Lever::Lift => since.lift = by,
                        Lever::Gasket => since.gasket = -by,
                        Lever::Piston => since.deck = by,
                    }
                    let carried = carried(&changed, &report);
                    (carried.entries[at].state, carried.entries[at].room())
                };
                let (held, left) = after(room);
                prop_assert_eq!(held, State::Held);
                // A tick of the change is worth up to two of what is left at 60 degrees, a tenth where stated so.
                prop_assert!((0..=2).contains(&left), "{:?}: {} left at {}", lever, left, room);
                prop_assert!(after(room + 1).0 != State::Held, "{:?}", lever);
            }
        }
        for stop in &before.stops {
            let rooms = before.entries.iter().filter_map(|entry| match entry.headroom?.of(stop.lever) {
                Room::Upto(room) => Some(room),
                Room::Free => None,
            });
            prop_assert_eq!(rooms.min(), Some(stop.at));
        }
    }

    /// Cutting the deck, or a piston, or another gasket thickness: carried over from the job as it was, an entry loses what
    /// the formulas say, though the readings themselves have changed with the deck.
    #[test]
    fn prop_a_changed_job_keeps_the_readings_of_the_one_they_were_taken_in(
        bench in benches(), cut in 0_i64..60, off in 0_i64..60, thicker in -40_i64..40,
    ) {
        let (cut, off, thicker) = (cut * 2_540, off * 2_540, thicker * 2_540);
        let original = bench.job();
        let mut other = bench.clone();
        other.cylinders.iter_mut().for_each(|cylinder| *cylinder += cut);
        other.pistons[1] -= off;
        other.gaskets[0] += thicker;
        let mut changed = other.job();
        let reductions = |job: &Job| Reductions::new(job).expect("sound readings");
        changed.ledger = as_read_in((&original, &reductions(&original)), (&changed, &reductions(&changed)));
        let report = match_job(&changed, None).expect("the checker accepts the answer");
        let Some((parts, gasket, _)) = planned(&report) else { return Ok(()) };
        for (carried, entry) in report.ledger.as_ref().expect("a ledger").entries.iter().zip(&bench.entries) {
            let mut then = bench.clone();
            then.pistons.push(other.pistons[parts[entry.cylinder]] + cut);
            then.gaskets.push(other.gaskets[gasket]);
            let expected = then.left(entry, then.pistons.len() - 1, then.gaskets.len() - 1);
            let left = carried.left.expect("known").value as f64;
            prop_assert!((left - expected).abs() <= 2.5, "{} against {}", left, expected);
        }
    }
}

/// What-ifs carry the ledger along: a deck that is cut comes off, a crown that is cut makes room over the flat only, and
/// another crank has to be measured again; with dial readings and with sizes alike.
#[test]
fn what_ifs_carry_the_ledger_along() {
    let entry = |surface| Entry {
        cylinder: 0,
        piston: 0,
        gasket: 0,
        surface,
        angle: 0,
        stated: None,
        reading: 2_000_000,
        minimum: 0,
    };
    let entries = vec![entry(Some(Surface::Pocket)), entry(Some(Surface::Flat)), entry(None)];
    let bench = Bench { pistons: vec![0], cylinders: vec![0], gaskets: vec![1_000_000], entries };
    let mut read = bench.job();
    let what_if = |change: Change| WhatIf {
        name: format!("{change:?}"),
        with: Vec::new(),
        changes: vec![change],
        price: None,
        hours: None,
        line: 1,
    };
    read.what_ifs = vec![
        what_if(Change::CutDeck { bank: 0, by: 100_000 }),
        what_if(Change::CutCrown { piston: 0, by: 30_000, dish: Dish::Same }),
        what_if(Change::Stroke(build::nm(80_000_000))),
    ];
    let mut made = read.clone();
    made.deck = None;
    made.engine.stroke = Some(build::nm(80_000_000));
    made.engine.rod_length = Some(build::nm(140_000_000));
    made.engine.deck_height = Some(build::nm(220_000_000));
    made.stocks[0].columns = Columns::new(vec![build::column("compression_height", &[build::nm(40_000_000)])]);
    for job in [read, made] {
        let compared = compare(&job, 0, |_| true).expect("the checker accepts the answer");
        let left = |row: &pairwright_engine::what_if::Row| {
            let RowOutcome::Planned(planned) = &row.outcome else { panic!("{:?}", row.outcome) };
            let entries = &planned.ledger.as_ref().expect("a ledger").entries;
            entries.iter().map(|entry| entry.left.map(|left| left.value)).collect::<Vec<_>>()
        };
        assert_eq!(left(&compared.stands), [Some(2_000_000); 3]);
        assert_eq!(left(&compared.rows[0]), [Some(1_900_000); 3]);
        assert_eq!(left(&compared.rows[1]), [Some(2_000_000), Some(2_030_000), Some(2_000_000)]);
        assert_eq!(left(&compared.rows[2]), [None; 3]);
    }
}

/// The doubt of a reading and of the parts that differ goes in, and what is the same cancels.
#[test]
fn what_both_have_in_common_cancels() {
    let entry = Entry {
        cylinder: 0,
        piston: 1,
        gasket: 0,
        surface: Some(Surface::Pocket),
        angle: 0,
        stated: None,
        reading: 2_000_000,
        minimum: 0,
    };
    let bench =
        Bench { pistons: vec![0, 0, 0], cylinders: vec![0], gaskets: vec![1_000_000, 1_000_000], entries: vec![entry] };
    let u = |planned_piston: usize, planned_gasket: usize| {
        let mut job = bench.job();
        job.deck.as_mut().expect("there").repeatability = Some(build::nm(3_000));
        job.stocks[1].columns = Columns::new(vec![
            build::column("thickness", &[build::nm(1_000_000), build::nm(1_000_000)]),
            build::column("u_thickness", &[build::nm(4_000), build::nm(4_000)]),
        ]);
        job.ledger.entries[0].u = Some(Amount::new(1_000, Unit::Millimetre, 6));
        job.matches[0].keep = vec![
            pairwright_engine::job::Pin { position: 0, part: planned_piston, role: 0 },
            pairwright_engine::job::Pin { position: 0, part: planned_gasket, role: 1 },
        ];
        let report = match_job(&job, None).expect("the checker accepts the answer");
        report.ledger.expect("a ledger").entries[0].left.expect("known").u
    };
    let close = |a: f64, b: f64| assert!((a - b).abs() < 1e-6 * b, "{a} against {b}");
    close(u(1, 0), 1_000.0);
    // Two pistons read once each: the cylinder cancels. Two gaskets: each brings its own thickness.
    close(u(2, 0), (1_000_f64.powi(2) + 2.0 * 3_000_f64.powi(2)).sqrt());
    close(u(1, 1), (1_000_f64.powi(2) + 2.0 * 4_000_f64.powi(2)).sqrt());
}

/// A ledger is none without entries.
#[test]
fn a_job_without_entries_has_no_ledger() {
    let job = Job { ledger: Ledger::default(), ..build::job(2, 2) };
    assert!(ledger(&job, &Reductions::default(), &Taken::default()).is_none());
}
