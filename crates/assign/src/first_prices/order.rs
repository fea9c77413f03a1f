//! Tables whose rows and columns can be put in an order in which a crossing never pays (Monge tables), squared differences among
//! them: they are solved by that order. It shows in two columns and two rows, and whether it holds in a few rows.
//!
//! # References
//! - A. J. Hoffman, *On simple linear programming problems*, Proc. Symp. Pure Math. 7 (1963): Monge tables, solved in order.

use super::changes::change;
use crate::rows::{ABSENT, Rows};

/// Times that four changes are looked at first.
const TESTS: usize = 12;

/// Rows looked at to see whether an order holds.
const LOOKED_AT: usize = 32;
/// An order is taken where its pairs are so many times nearer to the cheapest ones of their rows than pairs are at large.
const NEARLY: i128 = 64;

/// Prices by which the pairs of an order are the cheapest of their rows, if there seems to be such an order.
pub(super) fn prices(rows: &impl Rows) -> Option<Vec<i64>> {
    if !may_have_order(rows) {
        return None;
    }
    let (height, width) = rows.shape();
    let mut room = Vec::new();
    let mut difference_of_row = Vec::with_capacity(height);
    let first = rows.row(0, &mut room).iter().enumerate().filter(|&(_, &cost)| cost != ABSENT);
    let dearest = first.clone().max_by_key(|&(_, cost)| cost)?.0;
    let cheapest = first.min_by_key(|&(_, cost)| cost)?.0;
    for row in 0..height {
        let cells = rows.row(row, &mut room);
        difference_of_row.push(difference(cells[dearest], cells[cheapest])?);
    }
    let in_rows = ascending(&difference_of_row);
    let ends = [in_rows[0], in_rows[height - 1]].map(|row| rows.row(row, &mut room).to_vec());
    let difference_of_column: Option<Vec<i64>> =
        ends[0].iter().zip(&ends[1]).map(|(&one, &other)| difference(one, other)).collect();
    let in_columns = ascending(&difference_of_column?);
    // In order the price of the next column is between what the row before and the row after would pay for a change.
    let mut price = vec![0; width];
    let mut up = 0_i64;
    for (place, &row) in in_rows.iter().enumerate() {
        let cells = rows.row(row, &mut room);
        let own = in_columns[place];
        if let Some(before) = place.checked_sub(1).map(|before| in_columns[before]) {
            let least = difference(cells[own], cells[before])?;
            price[own] = price[before] + up.midpoint(least);
        }
        if let Some(&after) = in_columns.get(place + 1) {
            up = difference(cells[after], cells[own])?;
        }
    }
    // How much the pairs of the order cost above the cheapest of their rows, beside what all pairs cost above them.
    let (mut above, mut beside) = (0_i128, 0_i128);
    for place in (0..height).step_by((height / LOOKED_AT).max(1)) {
        let cells = rows.row(in_rows[place], &mut room);
        let there = cells.iter().zip(&price).filter(|&(&cost, _)| cost != ABSENT);
        let reduced = there.map(|(cost, price)| cost - price);
        let least = reduced.clone().min()?;
        above += i128::from(cells[in_columns[place]] - price[in_columns[place]] - least);
        beside += reduced.map(|cost| i128::from(cost - least)).sum::<i128>() / width as i128;
    }
    (above * NEARLY <= beside).then_some(price)
}

/// Where an order is, one row pays more than another for one change of columns or less, and for a second change; two other rows
/// say the same of both changes, or the contrary of both.
fn may_have_order(rows: &impl Rows) -> bool {
    let (height, width) = rows.shape();
    let sign = |pair_of_rows, pair_of_columns| Some(change(rows, pair_of_rows, pair_of_columns)?.apart().signum());
    let mut contrary = 0;
    for at in 0..TESTS {
        let [one, other] = [0, 1].map(|k| [(at + k) % height, (at + k + height / 2) % height]);
        let [left, right] = [0, 1].map(|k| [(at + k) % width, (at + k + width / 2) % width]);
        let signs = [sign(one, left), sign(one, right), sign(other, left), sign(other, right)];
        contrary += usize::from(signs.into_iter().flatten().product::<i64>() < 0 && signs.iter().all(Option::is_some));
    }
    contrary <= TESTS / 6
}

fn difference(one: i64, other: i64) -> Option<i64> {
    (one != ABSENT && other != ABSENT).then(|| one - other)
}

/// The places of these numbers, ascending.
fn ascending(numbers: &[i64]) -> Vec<usize> {
    let mut places: Vec<usize> = (0..numbers.len()).collect();
    places.sort_by_key(|&place| numbers[place]);
    places
}
