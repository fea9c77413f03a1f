//! Rows matched without a change of prices: along pairs that cost as little as any of their row's.
//!
//! Where many costs are equal this matches nearly all rows. One phase walks every row and every column once at most; there are
//! phases as long as one of them matches a row.
//!
//! # References
//! - J. E. Hopcroft and R. M. Karp, *An n^5/2 algorithm for maximum matchings in bipartite graphs*, SIAM J. Comput. 2 (1973):
//!   many disjoint paths a phase.

use super::nearest::Pair;
use super::state::{NONE, State};
use crate::rows::Rows;

/// Room to walk in.
pub(super) struct Tight {
    phase: u32,
    /// The last phase that came to a column.
    seen: Vec<u32>,
    /// The place in a row's list up to which it was walked.
    place: Vec<usize>,
    /// The rows on the way.
    way: Vec<Step>,
}

struct Step {
    row: u32,
    /// What the row's best pairs cost, less their columns' prices.
    least: i64,
    /// The pair taken from here.
    pair: Pair,
}

impl Tight {
    pub(super) fn new(rows: usize, columns: usize) -> Self {
        Self { phase: 0, seen: vec![0; columns], place: vec![0; rows], way: Vec::new() }
    }

    /// Matches rows of `free` as long as that goes without a change of prices; the others stay in `free`.
    pub(super) fn match_free<R: Rows>(&mut self, state: &mut State<'_, R>, free: &mut Vec<u32>) {
        loop {
            self.phase += 1;
            self.place.fill(0);
            let before = free.len();
            free.retain(|&row| !self.serve(state, row));
            if free.is_empty() || free.len() == before {
                return;
            }
        }
    }

    fn serve<R: Rows>(&mut self, state: &mut State<'_, R>, root: u32) -> bool {
        let least = state.lists[root as usize].iter().map(|&pair| state.reduced(pair)).min();
        let Some(least) = least.filter(|&least| least <= state.floor[root as usize]) else {
            return false;
        };
        self.way.clear();
        self.enter(root, least);
        while let Some(step) = self.way.last_mut() {
            let list = &state.lists[step.row as usize];
            let place = &mut self.place[step.row as usize];
            let (seen, phase, least) = (&self.seen, self.phase, step.least);
            let next = list[*place..]
                .iter()
                .position(|&pair| seen[pair.column as usize] != phase && state.reduced(pair) == least);
            let Some(next) = next else {
                *place = list.len();
                self.way.pop();
                continue;
            };
            *place += next + 1;
            let pair = list[*place - 1];
            step.pair = pair;
            self.seen[pair.column as usize] = self.phase;
            let holder = state.row_of[pair.column as usize];
            if holder == NONE {
                for step in &self.way {
                    state.join(step.row, step.pair);
                }
                return true;
            }
            self.enter(holder, state.row_price(holder));
        }
        false
    }

    fn enter(&mut self, row: u32, least: i64) {
        self.way.push(Step { row, least, pair: Pair { cost: 0, column: NONE } });
    }
}
