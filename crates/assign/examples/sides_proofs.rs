//! What proofs under side conditions cost: `cargo run --release -p pairwright-assign --example sides_proofs [-- TEXT]`.
//!
//! For ten tables a row: how many were proven or impossible, and of how many of them the whole chain, or that there is no
//! choice, got a proof; the worst milliseconds to solve, to solve and prove, and to check; the most steps of a proof and
//! its kilobytes of text. Values are slot + item + a little that is neither; neighbours are the slots in a row; `k` moves
//! count from item j in slot j; prices are 0 to 99 an item.

#![allow(clippy::allow_attributes, clippy::print_stdout, clippy::disallowed_types, reason = "it prints times")]

use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided, solve_sided_with_proof};
use pairwright_assign::{Criterion, Item, Measure, Neighbour, Problem, Sense, Shape, Sides, Slot, TotalLimit, Window};
use pairwright_proof::{SidedProof, check_sided_impossible, check_sided_proof, write_sided_proof};
use std::time::Instant;

#[path = "sides/case.rs"]
mod case;

use case::Case;

impl Case {
    fn sides(&self, kind: &str) -> (Sides<'_>, Vec<Window<'_>>) {
        let slots: Vec<Slot> = self.values.slots().collect();
        let near = |most| {
            let near = |two: &[Slot]| Neighbour { one: two[0], other: two[1], table: &self.values, most };
            slots.windows(2).map(near).collect::<Vec<_>>()
        };
        let count = slots.len() as i128;
        let at_most = |table, most| TotalLimit { table, least: None, most: Some(most) };
        match kind {
            "neighbours" => (Sides { neighbours: near(10_000), ..Sides::default() }, vec![]),
            "half moves" => (Sides { totals: vec![at_most(&self.moves, count / 2)], ..Sides::default() }, vec![]),
            "budget" => (Sides { totals: vec![at_most(&self.prices, count * 30)], ..Sides::default() }, vec![]),
            "second window" => (Sides::default(), vec![Window { table: &self.masses, width: 3000 }]),
            _ => {
                let sides = Sides {
                    neighbours: near(20_000),
                    totals: vec![at_most(&self.moves, count - 2), at_most(&self.prices, count * 40)],
                    together: vec![vec![Item::new(0), Item::new(1)]],
                    exclusive: vec![vec![Item::new(2), Item::new(3)]],
                    ..Sides::default()
                };
                (sides, vec![Window { table: &self.masses, width: 8000 }])
            }
        }
    }

    fn chain(&self, name: &str) -> Vec<Criterion<'_>> {
        let least = |table, measure| Criterion { table, measure, sense: Sense::Least, slack: 0 };
        let (even, squares) = (least(&self.values, Measure::Spread), least(&self.values, Measure::SquaresAboutMean));
        match name {
            "spread" => vec![even],
            "squares" => vec![squares],
            "price" => vec![least(&self.prices, Measure::Total)],
            _ => vec![even, squares, least(&self.moves, Measure::Total)],
        }
    }
}

#[derive(Default)]
struct Row {
    answers: usize,
    proofs: usize,
    worst: [f64; 3],
    steps: usize,
    text: usize,
}

impl Row {
    fn add(&mut self, sided: &SidedProblem<'_>) {
        let start = Instant::now();
        solve_sided(sided);
        let solved = start.elapsed();
        let (outcome, proof) = solve_sided_with_proof(sided);
        let proven = start.elapsed().saturating_sub(solved);
        let of = sided.problem().criteria().len();
        let statement = sided.problem().statement();
        let start = Instant::now();
        let (is_whole, steps) = match (&outcome, &proof) {
            (SidedOutcome::Proven(best), Some(proof @ SidedProof::Levels(levels))) => {
                let checked = check_sided_proof(&statement, sided.sides(), &best.choice, &best.values, proof);
                let levels_proven = checked.expect("a proof holds").levels;
                (levels_proven == of, levels.iter().map(|level| level.steps.len()).sum())
            }
            (SidedOutcome::Impossible(_), Some(proof @ SidedProof::Impossible(steps))) => {
                check_sided_impossible(&statement, sided.sides(), proof).expect("a proof holds");
                (true, steps.len())
            }
            _ => (false, 0),
        };
        let times = [solved, proven, start.elapsed()].map(|time| time.as_secs_f64() * 1e3);
        self.answers += usize::from(matches!(outcome, SidedOutcome::Proven(_) | SidedOutcome::Impossible(_)));
        self.proofs += usize::from(is_whole);
        self.worst = std::array::from_fn(|at| self.worst[at].max(times[at]));
        self.steps = self.steps.max(steps);
        self.text = self.text.max(proof.map_or(0, |proof| write_sided_proof(&proof).len()));
    }
}

fn main() {
    let only = std::env::args().nth(1).unwrap_or_default();
    println!("{:<46}solved proofs   solve ms   prove ms   check ms    steps       kB", "");
    for (slots, items) in [(8, 8), (8, 24), (12, 40)] {
        for kind in ["neighbours", "half moves", "budget", "second window", "all of them"] {
            for chain in ["spread", "spread, squares, moves", "squares", "price"] {
                let name = format!("{slots} x {items} {chain}, {kind}");
                if !name.contains(&only) {
                    continue;
                }
                let mut row = Row::default();
                for seed in 1..=10 {
                    let case = Case::new(Shape { slots, items }, seed);
                    let (sides, windows) = case.sides(kind);
                    let problem = Problem::new(case.chain(chain), windows).expect("one shape");
                    row.add(&SidedProblem::new(problem, sides).expect("one shape"));
                }
                let times = row.worst.map(|time| format!("{time:>11.2}")).join("");
                let (answers, proofs, text) = (row.answers, row.proofs, row.text as f64 / 1e3);
                println!("{name:<46}{answers:>6}{proofs:>7}{times}{:>9}{text:>9.1}", row.steps);
            }
        }
    }
}
