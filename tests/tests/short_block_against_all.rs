//! Pistons, rods, heads and gaskets together, against every way there is to build the block.

use pairwright_engine::job::{
    Bank, Column, Columns, FitName, Goal, HeadSeat, Job, LimitAsked, Measured, Part, Role, Stock,
};
use pairwright_engine::outcome::{Outcome, Planned, match_job};
use pairwright_engine::plan::Standing;
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_tests::{brute, build, no_plan};
use proptest::prelude::*;

/// Everything that differs from case to case; lengths in nm, volumes in 1e-6 cc, masses in 0.1 mg.
#[derive(Clone, Debug)]
struct Block {
    pistons: Vec<(i64, i64, i64)>,
    rods: Vec<(i64, i64)>,
    cylinders: Vec<i64>,
    heads: Vec<[i64; 2]>,
    gaskets: Vec<i64>,
    per_bank: bool,
    with_rods: bool,
    least_gap: i64,
    widest_mass: i64,
    /// Standard uncertainty of every weighing; the limit on masses has a guard band where there is any.
    mass_doubt: i64,
    by: Measured,
}

const BORE: i64 = 80_000_000;
const STROKE: i64 = 76_000_000;
const GASKET_BORE: i64 = 82_000_000;
const ROD: i64 = 140_000_000;

fn cc(ticks: i64) -> Amount {
    Amount::new(ticks, Unit::CubicCentimetre, 6)
}

fn grams(ticks: i64) -> Amount {
    Amount::new(ticks, Unit::Gram, 4)
}

fn stock(kind: &str, parts: usize, columns: Vec<Column>) -> Stock {
    let part = |index: usize| Part {
        id: format!("{kind} {index}"),
        at: None,
        fits: None,
        with: None,
        count: None,
        line: 2 + u32::try_from(index).expect("few parts"),
    };
    let (kind, file) = (kind.to_owned(), format!("{kind}s.csv"));
    Stock {
        kind,
        positions: String::new(),
        file,
        parts: (0..parts).map(part).collect(),
        columns: Columns::new(columns),
    }
}

impl Block {
    fn job(&self) -> Job {
        let n = self.cylinders.len();
        let mut job = build::job(n, self.pistons.len());
        job.engine.bore = Some(build::nm(BORE));
        job.engine.stroke = Some(build::nm(STROKE));
        let bank = |name: &str, cylinders: Vec<usize>, head| Bank {
            name: name.to_owned(),
            cylinders,
            head: Some(head),
            straight: false,
            form: None,
            line: 1,
        };
        let half = n / 2;
        job.banks = vec![
            bank("left", (0..half).collect(), HeadSeat::AsMeasured),
            bank("right", (half..n).collect(), HeadSeat::Turned),
        ];
        job.positions[0].banks = (0..n).map(|position| Some(position / half)).collect();
        let column = |name: &str, values: Vec<Amount>| build::column(name, &values);
        job.stocks = vec![
            stock(
                "piston",
                self.pistons.len(),
                vec![
                    column("dish", self.pistons.iter().map(|piston| cc(piston.1)).collect()),
                    column("mass", self.pistons.iter().map(|piston| grams(piston.2)).collect()),
                    column("u_mass", vec![grams(self.mass_doubt); self.pistons.len()]),
                ],
            ),
            stock(
                "rod",
                self.rods.len(),
                vec![
                    column("length", self.rods.iter().map(|rod| build::nm(ROD + rod.0)).collect()),
                    column("mass", self.rods.iter().map(|rod| grams(rod.1)).collect()),
                    column("u_mass", vec![grams(self.mass_doubt); self.rods.len()]),
                ],
            ),
            stock(
                "head",
                self.heads.len(),
                vec![
                    column("chamber_1", self.heads.iter().map(|head| cc(head[0])).collect()),
                    column("chamber_2", self.heads.iter().map(|head| cc(head[1])).collect()),
                ],
            ),
            stock(
                "gasket",
                self.gaskets.len(),
                vec![
                    column("thickness", self.gaskets.iter().map(|&thickness| build::nm(thickness)).collect()),
                    column("bore", vec![build::nm(GASKET_BORE); self.gaskets.len()]),
                ],
            ),
        ];
        let control = (0..n).map(|cylinder| (cylinder, 0, self.pistons[0].0 + self.cylinders[cylinder]));
        let others = (1..self.pistons.len()).map(|piston| (0, piston, self.pistons[piston].0 + self.cylinders[0]));
        let mut deck = build::readings(&control.chain(others).collect::<Vec<_>>());
        deck.control_rod = Some(0);
        job.deck = Some(deck);
        let kinds: &[&str] =
            if self.with_rods { &["piston", "rod", "head", "gasket"] } else { &["piston", "head", "gasket"] };
        let matching = &mut job.matches[0];
        matching.place = kinds.iter().map(|&kind| Role::of(kind)).collect();
        matching.gasket_per_bank = self.per_bank;
        matching.aim.fit = FitName::Compression;
        matching.aim.by = self.by;
        matching.aim.goal = if self.by == Measured::Worst { Goal::Near(ratio(10_000_000)) } else { Goal::Even };
        let limit =
            |fit, min, spread, guard| LimitAsked { fit, min, max: None, spread, neighbours: None, guard, line: 1 };
        matching.limits = vec![
            limit(FitName::PistonToHead, Some(build::nm(self.least_gap)), None, false),
            limit(FitName::Mass, None, Some(grams(self.widest_mass)), self.mass_doubt > 0),
        ];
        job
    }

    /// The seat's compression in 1e-6 and its mass, unless the piston comes too near to the head.
    fn seat(&self, position: usize, piston: usize, rod: usize, head: usize, gasket: usize) -> Option<(i64, i64)> {
        let half = self.cylinders.len() / 2;
        let (own, length) = (self.pistons[piston], if self.with_rods { self.rods[rod].0 - self.rods[0].0 } else { 0 });
        let above = own.0 + self.cylinders[position] + length;
        let thickness = self.gaskets[gasket];
        if thickness - above < self.least_gap {
            return None;
        }
        let place = position % half;
        let chamber = self.heads[head][if position < half { place } else { half - 1 - place }];
        // 1 cc is 1e6 ticks and 1e21 nm³.
        let cc =
            |area_of: i64, height: i64| std::f64::consts::PI / 4.0 * (area_of as f64).powi(2) * height as f64 * 1e-21;
        let clearance = (chamber + own.1) as f64 * 1e-6 + cc(GASKET_BORE, thickness) - cc(BORE, above);
        let ratio = (cc(BORE, STROKE) + clearance) / clearance;
        #[expect(clippy::cast_possible_truncation, reason = "a compression ratio")]
        let ticks = (ratio * 1e6).round() as i64;
        Some((ticks, own.2 + if self.with_rods { self.rods[rod].1 } else { 0 }))
    }

    /// Of the difference of two positions' masses: the normal factor of the usual risk of 0.025, times its uncertainty.
    fn mass_band(&self) -> f64 {
        let weighed = if self.with_rods { 4.0_f64 } else { 2.0 };
        1.959_963_984_540_054 * weighed.sqrt() * self.mass_doubt as f64
    }

    /// The least value of the aim over every way to build the block.
    fn best(&self) -> Option<i128> {
        let n = self.cylinders.len();
        let every = |parts: usize| {
            let mut all = Vec::new();
            brute::every_assignment(&vec![vec![true; parts]; n], &mut |chosen| all.push(chosen.to_vec()));
            all
        };
        let rods = if self.with_rods { every(self.rods.len()) } else { vec![vec![0; n]] };
        let mut best = None;
        for pistons in every(self.pistons.len()) {
            for rods in &rods {
                for setting in self.settings() {
                    let seat = |position: usize| {
                        let [head, gasket] = setting[position / (n / 2)];
                        self.seat(position, pistons[position], rods[position], head, gasket)
                    };
                    let Some(seats) = (0..n).map(seat).collect::<Option<Vec<_>>>() else { continue };
                    let masses = spread(seats.iter().map(|seat| seat.1));
                    if masses as f64 + self.mass_band() <= self.widest_mass as f64 {
                        let worth = self.worth(seats.iter().map(|seat| seat.0));
                        best = Some(best.map_or(worth, |known: i128| known.min(worth)));
                    }
                }
            }
        }
        best
    }

    /// Head and gasket of both banks, every way.
    fn settings(&self) -> Vec<[[usize; 2]; 2]> {
        let mut all = Vec::new();
        for left in 0..self.heads.len() {
            for right in (0..self.heads.len()).filter(|&right| right != left) {
                for under_left in 0..self.gaskets.len() {
                    for under_right in 0..self.gaskets.len() {
                        if self.per_bank || under_left == under_right {
                            all.push([[left, under_left], [right, under_right]]);
                        }
                    }
                }
            }
        }
        all
    }

    fn worth(&self, values: impl Iterator<Item = i64> + Clone) -> i128 {
        match self.by {
            Measured::Squares => {
                let n = values.clone().count() as i128;
                let total: i128 = values.clone().map(i128::from).sum();
                n * values.map(|value| i128::from(value).pow(2)).sum::<i128>() - total.pow(2)
            }
            Measured::Worst => values.map(|value| i128::from((value - 10_000_000).abs())).max().unwrap_or(0),
            _ => i128::from(spread(values)),
        }
    }
}

fn ratio(ticks: i64) -> Amount {
    Amount::new(ticks, Unit::One, 6)
}

fn spread(values: impl Iterator<Item = i64> + Clone) -> i64 {
    values.clone().max().unwrap_or(0) - values.min().unwrap_or(0)
}

fn block(most_pistons: usize) -> impl Strategy<Value = Block> {
    let um = |range: std::ops::Range<i64>| range.prop_map(|um| um * 1_000);
    let pistons = prop::collection::vec((um(-60..60), -300_000_i64..300_000, 0_i64..30_000), 4..=most_pistons);
    let rods = prop::collection::vec((um(-40..40), 0_i64..30_000), 4..=4);
    let heads = prop::collection::vec([40_000_000_i64..41_000_000, 40_000_000_i64..41_000_000], 2..=3);
    let gaskets = prop::collection::vec(um(900..1_400), 1..=2);
    let by = prop_oneof![3 => Just(Measured::Spread), 1 => Just(Measured::Squares), 1 => Just(Measured::Worst)];
    let sizes = (pistons, rods, prop::collection::vec(um(-80..80), 4), heads, gaskets);
    let widest = (prop_oneof![Just(1_000_000), 15_000_i64..40_000], prop_oneof![Just(0_i64), 200_i64..900]);
    (sizes, any::<bool>(), any::<bool>(), um(850..1_150), widest, by).prop_map(
        |((pistons, rods, cylinders, heads, gaskets), per_bank, with_rods, least_gap, widest, by)| {
            let by_rods = with_rods && by == Measured::Squares;
            Block {
                pistons,
                rods,
                cylinders,
                heads,
                gaskets,
                per_bank,
                with_rods,
                least_gap,
                widest_mass: widest.0,
                mass_doubt: widest.1,
                by: if by_rods { Measured::Spread } else { by },
            }
        },
    )
}

fn planned(job: &Job) -> Option<Planned> {
    match match_job(job, None).expect("the checker accepts the answer").matches.remove(0).outcome {
        Outcome::Planned(planned) => Some(*planned),
        Outcome::Impossible(why) => {
            no_plan::assert_proven(job, &why.no_plan);
            None
        }
        Outcome::Undecided => panic!("no search of so few parts ends early"),
        Outcome::Missing(lacks) => panic!("nothing is missing: {lacks:?}"),
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// The plan is as good as the best of all ways to build the block, says so, and there is none where there is none.
    #[test]
    fn prop_no_way_to_build_the_block_is_better(block in block(5)) {
        let best = block.best();
        let found = planned(&block.job());
        prop_assert_eq!(best.is_some(), found.is_some());
        if let (Some(best), Some(found)) = (best, found) {
            prop_assert!(matches!(found.standing, Standing::Proven { levels: 1.., .. }), "{:?}", found.standing);
            let values: Vec<i64> = found
                .plan
                .placements
                .iter()
                .map(|placement| {
                    let fit = placement.fits.iter().find(|value| value.fit == FitName::Compression);
                    fit.expect("compression is predicted").estimate.value
                })
                .collect();
            let worth = block.worth(values.iter().copied());
            // The formulas are written down twice: the last of six decimals may round otherwise.
            let room = if block.by == Measured::Squares { 200 + best / 500 } else { 3 };
            prop_assert!((worth - best).abs() <= room, "{worth} against {best}");
        }
    }
}
