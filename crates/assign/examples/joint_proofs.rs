//! What proofs of joint choices cost: `cargo run --release -p pairwright-assign --example joint_proofs [-- TEXT]`.
//!
//! For five pairs of tables a row: how many were proven, and how many of them got a proof; the worst milliseconds to
//! solve, to prove and to check; the most steps of a proof and its kilobytes of text. Values are slot + first item + second
//! item, or a constant over that; the target lies in the middle of all values.

#![allow(clippy::allow_attributes, clippy::print_stdout, clippy::disallowed_types, reason = "it prints times")]

use pairwright_assign::{
    Budget, Item, JointAim, JointOutcome, JointProblem, JointStatement, Scale, Shape, Slot, Table, prove_joint,
    solve_joint,
};
use pairwright_proof::{OuterProof, verify_joint, write_joint_proof};
use std::time::Instant;

#[path = "numbers/mix.rs"]
mod mix;

use mix::Mix;

fn ratio(_: Slot, sum: i64) -> Option<i64> {
    3_000_000_000_i64.checked_div(sum + 500_000)
}

#[derive(Default)]
struct Row {
    solved: usize,
    proofs: usize,
    worst: [f64; 3],
    steps: usize,
    text: usize,
}

impl Row {
    fn add(&mut self, problem: &JointProblem<'_>) {
        let mut lap = Instant::now();
        let mut millis = || std::mem::replace(&mut lap, Instant::now()).elapsed().as_secs_f64() * 1e3;
        let outcome = solve_joint(problem, &Budget::nodes(20_000_000)).expect("small values");
        let mut times = [millis(), 0.0, 0.0];
        let JointOutcome::Proven(best) = outcome else { return };
        self.solved += 1;
        let proof = prove_joint(problem, best.value, &Budget::nodes(2_000_000));
        times[1] = millis();
        if let Ok(proof) = proof {
            let measure = problem.aim().measure();
            verify_joint(problem.statement(), measure, &best.choice, best.value, &proof).expect("a proof holds");
            times[2] = millis();
            let of_outer = |outer: &OuterProof| match outer {
                OuterProof::Like(_) => 0,
                OuterProof::Windows(segments) => segments.iter().map(|segment| segment.steps.len()).sum(),
            };
            self.proofs += 1;
            self.steps = self.steps.max(proof.outers.iter().map(of_outer).sum());
            self.text = self.text.max(write_joint_proof(&proof).len());
        }
        self.worst = std::array::from_fn(|at| self.worst[at].max(times[at]));
    }
}

fn main() {
    let only = std::env::args().nth(1).unwrap_or_default();
    println!("{:<40}solved proofs   solve ms   prove ms   check ms    steps       kB", "");
    for (slots, firsts, seconds) in [(6, 6, 6), (6, 10, 8), (8, 8, 8), (8, 12, 12), (8, 16, 8)] {
        for (scale_name, scale, target) in [("sum", Scale::Sum, 150_000), ("ratio", Scale::Map(&ratio), 4600)] {
            let aims = [
                ("spread", JointAim::Spread),
                ("squares about mean", JointAim::SquaresAboutMean),
                ("squares from", JointAim::SquaresFrom { target }),
                ("total", JointAim::Total),
            ];
            for (aim_name, aim) in aims {
                let name = format!("{slots} x {firsts} x {seconds} {scale_name}, {aim_name}");
                if !name.contains(&only) {
                    continue;
                }
                let mut row = Row::default();
                for seed in 1..=5 {
                    let mut mix = Mix(seed);
                    let mut sizes = |count, range| (0..count).map(|_| mix.below(range)).collect::<Vec<_>>();
                    let offsets = vec![sizes(slots, 100_000)];
                    let mut table = |items| {
                        let of = sizes(items, 100_000);
                        Table::from_fn(Shape { slots, items }, |_, item: Item| Some(of[item.index()])).expect("small")
                    };
                    let (first, second) = (table(firsts), table(seconds));
                    let statement = JointStatement {
                        first: &first,
                        second: &second,
                        barred: &[],
                        offsets: &offsets,
                        scale,
                        beside: None,
                    };
                    row.add(&JointProblem::new(statement, aim).expect("small"));
                }
                let times = row.worst.map(|time| format!("{time:>11.2}")).join("");
                let (solved, proofs, text) = (row.solved, row.proofs, row.text as f64 / 1e3);
                println!("{name:<40}{solved:>6}{proofs:>7}{times}{:>9}{text:>9.1}", row.steps);
            }
        }
    }
}
