//! The cheapest pairs of a row, in one pass and a look at a few of its blocks.

use crate::rows::ABSENT;

/// Column prices are kept raised by so much.
///
/// Then a cost less its column's price is below 0 for every pair there is, and above 0, by wrapping around, where
/// there is none ([`ABSENT`] is the smallest number): one subtraction and one comparison serve both.
pub(super) const RAISE: i64 = 1 << 61;

const _: () = assert!(ABSENT.wrapping_sub(RAISE) > 0);

/// Beyond every floor: all pairs of the row are known.
pub(super) const NONE_LEFT: i64 = i64::MAX;

/// A pair of a row.
#[derive(Clone, Copy, Debug)]
pub(super) struct Pair {
    pub(super) cost: i64,
    pub(super) column: u32,
}

/// Room to pick pairs in.
#[derive(Default)]
pub(super) struct Picker {
    minima: Vec<i64>,
    ordered: Vec<i64>,
}

impl Picker {
    /// Puts at least the `count` cheapest pairs into `list`, as costs stand less prices, and gives the floor: every pair
    /// that is not in the list costs at least that much less its column's price.
    ///
    /// A row is read in blocks. The count-th smallest of the blocks' minima is at least the count-th smallest of all, and
    /// only blocks whose minimum is not above it are looked at again. Of pairs that cost the same no more are taken than
    /// needed, those after the column `turn` first, so that rows that are alike get different ones.
    pub(super) fn pick(
        &mut self,
        cells: &[i64],
        price: &[i64],
        count: usize,
        turn: usize,
        list: &mut Vec<Pair>,
    ) -> i64 {
        list.clear();
        match cells.len() / (4 * count.max(1)) {
            0..8 => self.pick_in::<4>(cells, price, count, list),
            8..16 => self.pick_in::<8>(cells, price, count, list),
            16..32 => self.pick_in::<16>(cells, price, count, list),
            _ => self.pick_in::<32>(cells, price, count, list),
        }
        let ceiling = self.ceiling(count);
        let most = 2 * count + 16;
        if list.len() <= most {
            return ceiling.map_or(NONE_LEFT, |ceiling| ceiling + 1);
        }
        self.trim(price, count, turn, list)
    }

    /// What the pairs taken cost at most; `None` if all were taken.
    fn ceiling(&self, count: usize) -> Option<i64> {
        self.ordered.get(count.wrapping_sub(1)).copied().filter(|&ceiling| ceiling < 0)
    }

    fn pick_in<const BLOCK: usize>(&mut self, cells: &[i64], price: &[i64], count: usize, list: &mut Vec<Pair>) {
        let (blocks, rest) = cells.as_chunks::<BLOCK>();
        let (prices, rest_prices) = price.as_chunks::<BLOCK>();
        self.minima.clear();
        self.minima.extend(blocks.iter().zip(prices).map(|(block, prices)| least(block, prices)));
        self.minima.push(least(rest, rest_prices));
        self.ordered.clone_from(&self.minima);
        if count > 0 && count <= self.ordered.len() {
            self.ordered.select_nth_unstable(count - 1);
        }
        let ceiling = self.ceiling(count).unwrap_or(-1);
        for (block, &minimum) in self.minima.iter().enumerate() {
            if minimum <= ceiling {
                let from = block * BLOCK;
                let to = (from + BLOCK).min(cells.len());
                for (column, (&cost, &price)) in (from..).zip(cells[from..to].iter().zip(&price[from..to])) {
                    if cost.wrapping_sub(price) <= ceiling {
                        list.push(Pair { cost, column: u32::try_from(column).unwrap_or(u32::MAX) });
                    }
                }
            }
        }
    }

    /// Leaves `count` pairs; gives the new floor.
    fn trim(&mut self, price: &[i64], count: usize, turn: usize, list: &mut Vec<Pair>) -> i64 {
        let reduced = |pair: &Pair| pair.cost - price[pair.column as usize];
        self.ordered.clear();
        self.ordered.extend(list.iter().map(reduced));
        let (_, &mut floor, _) = self.ordered.select_nth_unstable(count.max(1));
        let turned = list.partition_point(|pair| (pair.column as usize) < turn);
        list.rotate_left(turned);
        let mut room = count.max(1) - list.iter().filter(|pair| reduced(pair) < floor).count();
        list.retain(|pair| {
            let reduced = reduced(pair);
            let taken = reduced == floor && room > 0;
            room -= usize::from(taken);
            reduced < floor || taken
        });
        floor
    }
}

fn least(cells: &[i64], prices: &[i64]) -> i64 {
    cells.iter().zip(prices).map(|(cost, price)| cost.wrapping_sub(*price)).fold(i64::MAX, i64::min)
}
