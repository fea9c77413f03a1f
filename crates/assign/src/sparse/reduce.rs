//! Row reduction: a row takes its best column from whoever has it, at the price that its second best leaves.
//!
//! # References
//! - R. Jonker and A. Volgenant, *A shortest augmenting path algorithm for dense and sparse linear assignment problems*,
//!   Computing 38 (1987): augmenting row reduction.

use super::nearest::NONE_LEFT;
use super::state::{NONE, Nearest, State};
use crate::rows::Rows;

/// Goes through the free rows once; those that have no column then are the new `free`. `None` if a row has no pair.
pub(super) fn reduce<R: Rows>(state: &mut State<'_, R>, free: &mut Vec<u32>) -> Option<()> {
    let mut left = Vec::new();
    // Where prices sink by little the same rows could go on and on.
    let mut steps = 4 * free.len();
    for root in free.drain(..) {
        let mut row = root;
        loop {
            let Nearest { mut pair, least, other, second } = state.nearest(row)?;
            let mut holder = state.row_of[pair.column as usize];
            let sinks = least < second;
            if sinks && second != NONE_LEFT {
                state.price[pair.column as usize] -= second - least;
            } else if !sinks && holder != NONE && other.column != NONE {
                pair = other;
                holder = state.row_of[pair.column as usize];
            }
            state.join(row, pair);
            if holder == NONE {
                break;
            }
            state.column_of[holder as usize] = NONE;
            if !sinks || steps == 0 {
                left.push(holder);
                break;
            }
            steps -= 1;
            row = holder;
        }
    }
    *free = left;
    Some(())
}
