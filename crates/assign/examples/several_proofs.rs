//! What proofs of several items a slot cost:
//! `cargo run --release -p pairwright-assign --example several_proofs [-- TEXT]`.
//!
//! For five piles a row: how many came to an arrangement, and how many of them to a proof; the worst milliseconds to solve
//! and prove, of those to prove, and to check; the most steps of a proof and its kilobytes of text. Values are whole numbers up to 200,000 that add up item
//! by item, coarse ones multiples of 2,540; odd ones do not add up.

#![allow(clippy::allow_attributes, clippy::print_stdout, clippy::disallowed_types, reason = "it prints times")]

use pairwright_assign::several::{SeveralOutcome, SeveralProblem, prove_several, solve_several};
use pairwright_assign::{Budget, Item, Measure, Pile, Roles, Sense, Shape, Slot, Table, Worth};
use pairwright_proof::{check_several_proof, write_several_proof};
use std::time::Instant;

#[path = "numbers/mix.rs"]
mod mix;

use mix::Mix;

/// Values that do not add up: a pair of items brings something of its own.
fn odd(slot: Slot, items: &[Item]) -> i64 {
    let of = |item: &Item| u64::from(item.number()) + 1;
    let seed = items.iter().fold(u64::from(slot.number()), |seed, item| seed * 1_000 + of(item));
    Mix(seed).below(200_000)
}

#[derive(Default)]
struct Row {
    found: usize,
    proofs: usize,
    worst: [f64; 3],
    steps: usize,
    text: usize,
}

impl Row {
    fn add(&mut self, pile: Pile, worth: &Worth<'_>, measure: Measure) {
        let mut lap = Instant::now();
        let mut millis = || std::mem::replace(&mut lap, Instant::now()).elapsed().as_secs_f64() * 1e3;
        let problem = SeveralProblem::new(pile, worth, measure, Sense::Least).expect("small values");
        let outcome = solve_several(&problem.clone().with_effort(300_000_000));
        let mut times = [millis(), 0.0, 0.0];
        self.found += usize::from(outcome.arrangement().is_some());
        if let SeveralOutcome::Proven { arrangement: best, proof, .. } = outcome {
            drop(prove_several(&problem, best.value, &Budget::default()));
            times[1] = millis();
            let asked = (measure, Sense::Least);
            check_several_proof(pile, worth, asked, &best.bundles, best.value, &proof).expect("a proof holds");
            times[2] = millis();
            self.proofs += 1;
            self.steps = self.steps.max(proof.steps.len());
            self.text = self.text.max(write_several_proof(&proof).len());
        }
        self.worst = std::array::from_fn(|at| self.worst[at].max(times[at]));
    }
}

fn rows(name: &str, pile: Pile, tick: i64) {
    let odd = |slot: Slot, items: &[Item]| Some(odd(slot, items));
    let measures = [
        (Measure::Spread, "spread"),
        (Measure::WorstFrom { target: 250_000 }, "worst"),
        (Measure::SquaresFrom { target: 250_000 }, "squares from"),
        (Measure::SquaresAboutMean, "squares"),
        (Measure::Total, "total"),
    ];
    for (measure, what) in measures {
        let name = format!("{} x {} of {} {name}, {what}", pile.slots, pile.each, pile.items);
        if std::env::args().nth(1).is_some_and(|text| !name.contains(&text)) {
            continue;
        }
        let mut row = Row::default();
        for seed in 1..=5 {
            let mut mix = Mix(seed);
            let mut sizes = |count| (0..count).map(|_| mix.below(200_000) / tick * tick).collect::<Vec<_>>();
            let (base, items) = (sizes(pile.slots), sizes(pile.items));
            let shape = Shape { slots: pile.slots, items: pile.items };
            let table = Table::from_fn(shape, |_, item| Some(items[item.index()])).expect("small values");
            let sum = Worth::Sum { base: &base, table: &table };
            let worth = if name.contains("odd") { Worth::Function(&odd) } else { sum };
            row.add(pile, &worth, measure);
        }
        let times = row.worst.map(|time| format!("{time:>11.2}")).join("");
        let (found, proofs, text) = (row.found, row.proofs, row.text as f64 / 1e3);
        println!("{name:<36}{found:>6}{proofs:>7}{times}{:>9}{text:>9.1}", row.steps);
    }
}

fn main() {
    println!("{:<36}found proofs   solve ms   prove ms   check ms    steps       kB", "");
    let pile = |slots, items, each| Pile { slots, items, each, roles: Roles::Alike };
    for (name, tick) in [("fine", 1), ("coarse", 2_540), ("odd", 1)] {
        rows(name, pile(5, 10, 2), tick);
        rows(name, pile(7, 14, 2), tick);
        rows(name, pile(7, 40, 2), tick);
    }
    rows("fine", pile(5, 20, 3), 1);
}
