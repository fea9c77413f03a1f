//! Tables whose costs nearly add up: something of the row, something of the column, and little else.
//!
//! A choice cannot change what adds up. Without the columns' shares, and the rows', the rest is a table of small costs. The shares
//! are those of least squares over some of the rows, by averages of rows and of columns in turn.

use super::changes::change;
use crate::rows::{ABSENT, Rows};

/// Rows whose costs the shares are averages of.
const SAMPLE: usize = 128;
/// Rounds of averages; where no pair is missing two are as good as any number.
const ROUNDS: usize = 3;
/// Changes of columns looked at first, and how many are looked for where pairs are missing.
const CHANGES: usize = 12;
const LOOKED_FOR: usize = 8 * CHANGES;
/// Costs nearly add up where a change of columns costs one row what it costs another, but for so small a part.
const NEARLY: u64 = 8;

/// Shares are at most so many times the largest cost, and what is left of costs without them: each round adds two.
const SPAN: u64 = 8;

/// What each column has for its share; `None` where costs do not nearly add up, or are too large to be summed.
pub(crate) fn shares_of_columns(rows: &impl Rows) -> Option<Vec<i64>> {
    (nearly_add_up(rows) && can_be_summed(rows)).then(|| averages(rows)).flatten()
}

/// The rows that shares are averages of.
fn sample(height: usize) -> impl Iterator<Item = usize> {
    (0..height).step_by(height.div_ceil(SAMPLE).max(1))
}

fn can_be_summed(rows: &impl Rows) -> bool {
    let (height, width) = rows.shape();
    let mut room = Vec::new();
    let mut bits = 0;
    for row in sample(height) {
        let there = rows.row(row, &mut room).iter().filter(|&&cost| cost != ABSENT);
        bits = there.fold(bits, |bits, cost| bits | cost.unsigned_abs());
    }
    let most = (width.max(SAMPLE) as u64).checked_mul(SPAN).and_then(|times| bits.checked_mul(times));
    most.is_some_and(|most| most < 1 << 62)
}

/// Whether costs nearly add up, as far as a few of them show.
pub(crate) fn nearly_add_up(rows: &impl Rows) -> bool {
    let (height, width) = rows.shape();
    let at = |at: usize| {
        let pair_of_rows = [at % height, (at + height / 2) % height];
        let pair_of_columns = [at % width, (5 * at + width / 2) % width];
        change(rows, pair_of_rows, pair_of_columns)
    };
    let (mut apart, mut along) = (0, 0);
    for change in (0..LOOKED_FOR).filter_map(at).take(CHANGES) {
        apart += change.apart().unsigned_abs();
        along += change.one.unsigned_abs() + change.other.unsigned_abs();
    }
    apart < along / (2 * NEARLY)
}

fn averages(rows: &impl Rows) -> Option<Vec<i64>> {
    let (height, width) = rows.shape();
    let mut room = Vec::new();
    let mut shares = vec![0; width];
    let (mut sums, mut counts) = (vec![0; width], vec![0; width]);
    for _ in 0..ROUNDS {
        sums.fill(0);
        counts.fill(0);
        for row in sample(height) {
            let cells = rows.row(row, &mut room);
            let (mut sum, mut count) = (0, 0);
            for (&cost, share) in cells.iter().zip(&shares) {
                let is_there = cost != ABSENT;
                sum += if is_there { cost - share } else { 0 };
                count += i64::from(is_there);
            }
            let of_row = i64::checked_div(sum, count)?;
            for ((&cost, sum), count) in cells.iter().zip(&mut sums).zip(&mut counts) {
                let is_there = cost != ABSENT;
                *sum += if is_there { cost - of_row } else { 0 };
                *count += i64::from(is_there);
            }
        }
        for ((share, &sum), &count) in shares.iter_mut().zip(&sums).zip(&counts) {
            *share = i64::checked_div(sum, count)?;
        }
    }
    Some(shares)
}
