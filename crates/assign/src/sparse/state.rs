//! What is known while rows are matched: some of each row's pairs, prices, and who has what.

use super::nearest::{NONE_LEFT, Pair, Picker, RAISE};
use crate::rows::Rows;

/// No row, or no column.
pub(super) const NONE: u32 = u32::MAX;

/// A matching with prices, of which this is always true: of a matched row no pair at all, known or not, costs less than
/// its own after the columns' prices are taken off.
pub(super) struct State<'r, R> {
    rows: &'r R,
    room: Vec<i64>,
    picker: Picker,
    /// Room for pairs found later.
    more: Vec<Pair>,
    /// The pairs known of each row.
    pub(super) lists: Vec<Vec<Pair>>,
    /// What the row's other pairs cost at least, less their columns' prices. Prices only sink, so that it stays true.
    pub(super) floor: Vec<i64>,
    /// Of columns, raised by [`RAISE`].
    pub(super) price: Vec<i64>,
    pub(super) row_of: Vec<u32>,
    pub(super) column_of: Vec<u32>,
    /// What the pair of a matched row costs.
    pub(super) cost_of: Vec<i64>,
    /// Pairs known of a row, at most.
    most: usize,
}

impl<'r, R: Rows> State<'r, R> {
    /// Reads all rows once, with these prices, for `count` pairs of each.
    pub(super) fn new(rows: &'r R, price: Vec<i64>, count: usize) -> Self {
        let (height, width) = rows.shape();
        let mut state = Self {
            rows,
            room: Vec::new(),
            picker: Picker::default(),
            more: Vec::new(),
            lists: Vec::with_capacity(height),
            floor: Vec::with_capacity(height),
            price,
            row_of: vec![NONE; width],
            column_of: vec![NONE; height],
            cost_of: vec![0; height],
            most: (width / 8).max(4 * count).max(8),
        };
        let mut list = Vec::new();
        for row in 0..height {
            let cells = rows.row(row, &mut state.room);
            let floor = state.picker.pick(cells, &state.price, count, turn(row, height, width), &mut list);
            state.lists.push(list.clone());
            state.floor.push(floor);
        }
        state
    }

    pub(super) fn reduced(&self, pair: Pair) -> i64 {
        pair.cost - self.price[pair.column as usize]
    }

    /// Gives a row a pair.
    pub(super) fn join(&mut self, row: u32, pair: Pair) {
        self.row_of[pair.column as usize] = row;
        self.column_of[row as usize] = pair.column;
        self.cost_of[row as usize] = pair.cost;
    }

    /// What the pair of a matched row costs, less its column's price.
    pub(super) fn row_price(&self, row: u32) -> i64 {
        self.cost_of[row as usize] - self.price[self.column_of[row as usize] as usize]
    }

    /// Whether more of a row's pairs can be kept.
    pub(super) fn has_room(&self, row: u32) -> bool {
        self.lists[row as usize].len() < self.most
    }

    /// Reads a row again for twice as many pairs as are known of it, at the prices of now.
    pub(super) fn extend(&mut self, row: u32) {
        let at = row as usize;
        let (height, width) = self.rows.shape();
        let cells = self.rows.row(at, &mut self.room);
        let list = &mut self.lists[at];
        let count = (2 * list.len()).clamp(8, self.most);
        self.floor[at] = self.picker.pick(cells, &self.price, count, turn(at, height, width), list);
    }

    /// Makes the matching true again after paths that left pairs aside: rows that may have cheaper pairs, as prices stand,
    /// are read again for `count` more, and freed where there are some.
    pub(super) fn correct(&mut self, free: &mut Vec<u32>, count: usize) {
        let (height, width) = self.rows.shape();
        for row in 0..u32::try_from(height).unwrap_or(NONE) {
            let at = row as usize;
            if self.column_of[at] == NONE || self.row_price(row) <= self.floor[at] {
                continue;
            }
            let cells = self.rows.row(at, &mut self.room);
            let turn = turn(at, height, width);
            let list = &mut self.lists[at];
            if list.len() + count > self.most {
                self.floor[at] = self.picker.pick(cells, &self.price, count, turn, list);
            } else {
                self.floor[at] = self.picker.pick(cells, &self.price, count, turn, &mut self.more);
                let known = list.len();
                for &pair in &self.more {
                    if !list[..known].iter().any(|old| old.column == pair.column) {
                        list.push(pair);
                    }
                }
            }
            let least = self.lists[at].iter().map(|&pair| self.reduced(pair)).min();
            if least.is_none_or(|least| least < self.row_price(row)) {
                self.row_of[self.column_of[at] as usize] = NONE;
                self.column_of[at] = NONE;
                free.push(row);
            }
        }
    }

    /// All costs of a row, and the prices.
    pub(super) fn read(&mut self, row: u32) -> (&[i64], &[i64]) {
        (self.rows.row(row as usize, &mut self.room), &self.price)
    }

    /// A row's cheapest pairs; the row is read again until the first is known. `None` if it has none.
    pub(super) fn nearest(&mut self, row: u32) -> Option<Nearest> {
        loop {
            let floor = self.floor[row as usize];
            let (mut first, mut second) = (NONE_LEFT, NONE_LEFT);
            let nobody = Pair { cost: 0, column: NONE };
            let (mut one, mut two) = (nobody, nobody);
            for &pair in &self.lists[row as usize] {
                let reduced = self.reduced(pair);
                if reduced < second {
                    (second, two) = (reduced, pair);
                    if reduced < first {
                        (second, two) = (first, one);
                        (first, one) = (reduced, pair);
                    }
                }
            }
            if first == NONE_LEFT && floor == NONE_LEFT {
                return None;
            }
            if first <= floor && first != NONE_LEFT {
                if second > floor {
                    (second, two) = (floor, nobody);
                }
                return Some(Nearest { pair: one, other: two, least: first, second });
            }
            self.extend(row);
        }
    }

    /// The prices of rows and of columns as they are.
    pub(super) fn prices(&self) -> (Vec<i64>, Vec<i64>) {
        let height = u32::try_from(self.column_of.len()).unwrap_or(u32::MAX);
        let rows = (0..height).map(|row| self.row_price(row) + RAISE).collect();
        (rows, self.price.iter().map(|price| price - RAISE).collect())
    }
}

/// A row's two cheapest pairs, and what they cost less their columns' prices.
pub(super) struct Nearest {
    pub(super) pair: Pair,
    pub(super) least: i64,
    /// Of column [`NONE`] if it is not known.
    pub(super) other: Pair,
    /// [`NONE_LEFT`] if there is no other.
    pub(super) second: i64,
}

/// Where a row starts to take pairs that cost the same.
fn turn(row: usize, height: usize, width: usize) -> usize {
    row * width / height.max(1)
}
