//! Do the 95 % intervals of predicted pairs hold the true value 95 times in 100?
//!
//! Readings are made from known parts and positions with a known scatter, rounded to the gauge's step where there is one, and reduced.
//! Seeded, so every run counts the same.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]
#![expect(clippy::print_stdout, reason = "the percentages are what a reader of a failed run needs")]

use pairwright_engine::readings::{Deck, Gauge, PartId, PositionId, Reading, Station, reduce};
use pairwright_engine::statistics::{Dof, NormalDraws, Risk, Stream, t_two_sided_factor};

/// Own standard deviation of the gauge in nm.
const S: f64 = 2000.0;
/// Simulated benches per design.
const WORLDS: u64 = 1000;
/// The design with one redundant reading only: without a stated figure its intervals rest on one degree of freedom.
const RING: &str = "as assembled, then each moved on by one";

/// Which cells are read, and how often.
struct Design {
    name: &'static str,
    parts: u32,
    positions: u32,
    cells: Vec<(u32, u32, u32)>,
}

/// A control part in every position, then every other part in position 0.
fn control(name: &'static str, parts: u32, positions: u32, control: u32, others: u32) -> Design {
    let mut cells: Vec<_> = (0..positions).map(|position| (0, position, control)).collect();
    cells.extend((1..parts).map(|part| (part, 0, others)));
    Design { name, parts, positions, cells }
}

fn designs() -> Vec<Design> {
    let mut mixed = control("control 3, others 1 and 2", 12, 8, 3, 1);
    for cell in mixed.cells.iter_mut().skip(8).step_by(2) {
        cell.2 = 2;
    }
    let mut ring = Design { name: RING, parts: 8, positions: 8, cells: vec![] };
    for at in 0..8 {
        ring.cells.push((at, at, 1));
        ring.cells.push((at, (at + 1) % 8, 1));
    }
    let mut two = control("two control parts", 10, 8, 1, 1);
    two.cells.extend((1..8).map(|position| (1, position, 1)));
    let mut table = Design { name: "every part in every position", parts: 5, positions: 4, cells: vec![] };
    for part in 0..5 {
        table.cells.extend((0..4).map(|position| (part, position, 1)));
    }
    vec![
        control("control 3, others 1", 12, 8, 3, 1),
        mixed,
        control("all 2", 12, 8, 2, 2),
        control("all 5", 6, 4, 5, 5),
        ring,
        two,
        table,
    ]
}

fn reading(line: usize, part: u32, position: u32, value: f64) -> Reading {
    Reading {
        part: PartId::new(part),
        position: PositionId::new(position),
        value,
        spot: None,
        left_out: false,
        line: u32::try_from(line).unwrap(),
    }
}

struct World {
    draws: NormalDraws,
    parts: Vec<f64>,
    positions: Vec<f64>,
}

impl World {
    fn new(design: &Design, seed: u64) -> Self {
        let mut draws = NormalDraws::new(seed, Stream::new(1));
        // Far wider than any step, so that true values fall between the steps anywhere.
        let parts = (0..design.parts).map(|_| 70_000.0 * draws.next_draw()).collect();
        let positions = (0..design.positions).map(|_| 70_000.0 * draws.next_draw()).collect();
        Self { draws, parts, positions }
    }

    fn truth(&self, part: u32, position: u32) -> f64 {
        self.parts[part as usize] + self.positions[position as usize]
    }

    fn read(&mut self, design: &Design, step: Option<f64>) -> Vec<Reading> {
        let cells = design.cells.iter().flat_map(|&(part, position, n)| (0..n).map(move |_| (part, position)));
        (1..)
            .zip(cells)
            .map(|(line, (part, position))| {
                let exact = self.truth(part, position) + S * self.draws.next_draw();
                reading(line, part, position, step.map_or(exact, |q| (exact / q).round() * q))
            })
            .collect()
    }
}

/// How the gauge's scatter is known to the reduction.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Known {
    /// From the readings alone.
    FromReadings,
    /// Stated, as an estimate of 10 degrees of freedom that comes out differently in every world.
    Estimated,
    /// Stated, and exactly right.
    Exactly,
}

impl Known {
    fn stated(self, draws: &mut NormalDraws) -> Option<f64> {
        match self {
            Self::FromReadings => None,
            Self::Estimated => {
                let squares: f64 = (0..10).map(|_| draws.next_draw().powi(2)).sum();
                Some(S * (squares / 10.0).sqrt())
            }
            Self::Exactly => Some(S),
        }
    }
}

/// Counts intervals and those that hold the truth; the factors it has computed are kept.
#[derive(Default)]
struct Tally {
    asked: u32,
    held: u32,
    factors: Vec<(Dof, f64)>,
}

impl Tally {
    fn count(&mut self, off: f64, u: f64, dof: Dof) {
        let known = self.factors.iter().find(|(nu, _)| *nu == dof).map(|at| at.1);
        let factor = known.unwrap_or_else(|| {
            let factor = t_two_sided_factor(Risk::ONE_IN_20, dof);
            if self.factors.len() < 50 {
                self.factors.push((dof, factor));
            }
            factor
        });
        self.asked += 1;
        self.held += u32::from(off.abs() <= factor * u);
    }

    fn percent(&self) -> f64 {
        100.0 * f64::from(self.held) / f64::from(self.asked)
    }
}

/// Share in per cent of the intervals that hold the truth: of predicted pairs, and of differences between pairs of different parts in
/// different positions.
fn coverage(design: &Design, step: Option<f64>, known: Known) -> (f64, f64) {
    let (mut pairs, mut differences) = (Tally::default(), Tally::default());
    for seed in 0..WORLDS {
        let mut world = World::new(design, seed);
        let gauge = Gauge { resolution: step, repeatability: known.stated(&mut world.draws) };
        let readings = world.read(design, step);
        let effects = reduce(design.parts as usize, design.positions as usize, &readings, &gauge, &[]).unwrap();
        for part in 0..design.parts {
            for position in 0..design.positions {
                let pair = (PartId::new(part), PositionId::new(position));
                let found = effects.predict(pair.0, pair.1).unwrap();
                pairs.count(found.value - world.truth(part, position), found.u, found.dof);
                let next = ((part + 1) % design.parts, (position + 1) % design.positions);
                let other = (PartId::new(next.0), PositionId::new(next.1));
                let apart = effects.difference(pair, other).unwrap();
                let truth = world.truth(part, position) - world.truth(next.0, next.1);
                differences.count(apart.value - truth, apart.u, apart.dof);
            }
        }
    }
    (pairs.percent(), differences.percent())
}

fn check(step: Option<f64>, known: Known, least: f64, most: f64) {
    for design in designs() {
        let (pairs, differences) = coverage(&design, step, known);
        println!(
            "{:42} step {step:?} {known:?}: {pairs:.1} % of pairs, {differences:.1} % of differences",
            design.name
        );
        for found in [pairs, differences] {
            assert!((least..=most).contains(&found), "{} {step:?} {known:?}: {found:.2} %", design.name);
        }
    }
}

#[test]
fn intervals_without_a_step_hold_the_truth_95_times_in_100() {
    check(None, Known::FromReadings, 93.0, 97.0);
    check(None, Known::Estimated, 93.0, 97.0);
}

#[test]
fn intervals_of_a_fine_gauge_do() {
    check(Some(0.5 * S), Known::Estimated, 93.0, 97.0);
    check(Some(S), Known::Estimated, 93.0, 97.0);
}

/// With repeats to learn from, nothing needs to be stated.
#[test]
fn intervals_of_a_fine_gauge_do_from_repeats_alone() {
    for design in designs().iter().filter(|design| design.name != RING) {
        for step in [0.5 * S, S] {
            let (pairs, differences) = coverage(design, Some(step), Known::FromReadings);
            assert!((93.0..=97.0).contains(&pairs), "{} {step}: {pairs:.2} %", design.name);
            assert!((93.0..=97.0).contains(&differences), "{} {step}: {differences:.2} %", design.name);
        }
    }
}

/// Steps as coarse as five times the gauge's own scatter, where repeats mostly agree and averaging does not help.
#[test]
fn intervals_of_a_coarse_gauge_are_never_too_narrow() {
    for ratio in [2.0, 3.0, 5.0, 10.0] {
        for known in [Known::FromReadings, Known::Estimated, Known::Exactly] {
            check(Some(ratio * S), known, 93.0, 100.0);
        }
    }
}

/// Unmeasured positions on a deck that is straight but for its form.
#[test]
fn intervals_from_a_straight_deck_hold_the_truth() {
    for (form, stated, measured) in
        [(0.0, false, 3), (1.0, false, 3), (4.0, false, 3), (4.0, false, 4), (4.0, true, 2), (1.0, true, 3)]
    {
        let mut tally = Tally::default();
        for seed in 0..4 * WORLDS {
            let mut draws = NormalDraws::new(seed, Stream::new(2));
            let form = form * S;
            let (level, slope) = (1e5 * draws.next_draw(), 1e4 * draws.next_draw());
            let deck: Vec<f64> = (0..5).map(|at| level + slope * f64::from(at) + form * draws.next_draw()).collect();
            let mut readings = Vec::new();
            // The last position is not measured; a second part is, in the first position only.
            for (part, position) in (0..measured).map(|at| (0, at)).chain([(1, 0)]) {
                for _ in 0..3 {
                    let value = deck[position as usize] + f64::from(part) * 5e4 + S * draws.next_draw();
                    readings.push(reading(readings.len(), part, position, value));
                }
            }
            let stations = (0..5).map(|at| Station { position: PositionId::new(at), along: f64::from(at) }).collect();
            let decks = [Deck { stations, straight: true, form: stated.then_some(form) }];
            let effects = reduce(2, 5, &readings, &Gauge::default(), &decks).unwrap();
            let found = effects.predict(PartId::new(1), PositionId::new(4)).unwrap();
            assert!(found.from_line);
            tally.count(found.value - deck[4] - 5e4, found.u, found.dof);
        }
        println!("form {form} s, stated {stated}, {measured} measured: {:.1} %", tally.percent());
        assert!((93.0..=100.0).contains(&tally.percent()), "{form} {stated} {measured}: {:.2} %", tally.percent());
    }
}
