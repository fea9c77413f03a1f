//! Least total of a cost over all choices, and which pairs the cheapest choices may use.
//!
//! Only the slots' cheapest items matter when there are many more items than slots: with n slots, n + 1 items a
//! slot are enough for the optimum and its prices, since one of them is always left over. Items that must be used are
//! given a bonus larger than any difference of totals.

mod assigned;

use crate::best::Cost;
use crate::dense::{Block, Priced, span};
use crate::first_prices::{FirstPrices, first_prices, nearly_add_up};
use crate::grid::{Bits, Grid};
use crate::rows::{self, RowCosts, Rows};
use crate::sparse::{self, Plan};
use crate::watch::Watch;
use crate::weight::{Ranked, Weight};
pub(crate) use assigned::Assigned;
use assigned::Bonus;
use pairwright_proof::{Choice, Item, Prices, Slot};

/// The cheapest choice inside `grid` that uses every item of `must`; `None` if there is none.
pub(crate) fn cheapest(grid: &Grid, must: &Bits, cost: impl Fn(Slot, Item) -> i128) -> Option<Assigned> {
    cheapest_within(grid, must, cost, &Watch::unlimited())
}

/// The same; `None` also if it was ended early.
pub(crate) fn cheapest_within(
    grid: &Grid,
    must: &Bits,
    cost: impl Fn(Slot, Item) -> i128,
    watch: &Watch<'_>,
) -> Option<Assigned> {
    let columns = columns(grid, must, &cost);
    among(&columns, grid, must, cost, watch)
}

/// The cheapest choice inside `grid` by a criterion; large tables are read row by row and not copied.
pub(crate) fn cheapest_of(cost: &Cost<'_>, grid: &Grid, must: &Bits, watch: &Watch<'_>) -> Option<Assigned> {
    if must.is_empty() {
        let rows = RowCosts::new(*cost, Some(grid));
        let assigned = by_rows(&rows, watch);
        if rows.are_small() {
            return assigned.map(|priced| of_columns(priced).costing(|slot, item| cost.of(slot, item)));
        }
    }
    cheapest_within(grid, must, |slot, item| cost.of(slot, item), watch)
}

/// The cheapest choice of all the table's pairs by a criterion, its total, and the prices that prove it; `None` also where costs are
/// too large for one word each.
pub(crate) fn cheapest_of_all(cost: &Cost<'_>, watch: &Watch<'_>) -> Option<(Choice, i128, Prices)> {
    let Priced { column_of, row_price, column_price } = by_rows(&RowCosts::new(*cost, None), watch)?;
    let choice = Choice::new(column_of.into_iter().map(item).collect());
    let total = cost.total(&choice);
    // Only items in use have a price.
    let mut items = Vec::with_capacity(row_price.len());
    let priced = column_price.into_iter().enumerate().filter(|&(_, price)| price != 0);
    items.extend(priced.map(|(column, price)| (item(column), i128::from(price))));
    let prices = Prices { slots: row_price.into_iter().map(i128::from).collect(), items };
    Some((choice, total, prices))
}

fn item(column: usize) -> Item {
    Item::new(u32::try_from(column).unwrap_or(u32::MAX))
}

/// From so many pairs on a table is not copied.
const LARGE: usize = 1 << 17;

/// From so many slots on the kind of a table is looked at.
const MANY: usize = 32;

fn is_large(slots: usize, items: usize) -> bool {
    slots.saturating_mul(items) >= LARGE
}

/// `None` also where costs are too large.
fn by_rows(rows: &impl Rows, watch: &Watch<'_>) -> Option<Priced<i64>> {
    let (slots, items) = rows.shape();
    // Where costs nearly add up all rows want the same columns, which prices from zero are long in telling.
    let crowds = slots >= MANY && slots < items && nearly_add_up(rows);
    if is_large(slots, items) || crowds {
        return sparse::cheapest(rows, Plan::usual(slots), watch);
    }
    let first = if slots == items && slots >= MANY { first_prices(rows) } else { None };
    copied(rows)?.cheapest_from(&first.map(FirstPrices::into_prices).unwrap_or_default(), watch)
}

/// What prices say of the items of all columns.
fn of_columns(priced: Priced<i64>) -> Assigned {
    let Priced { column_of, row_price, column_price } = priced;
    let priced = column_price.into_iter().enumerate().filter(|&(_, price)| price != 0);
    Assigned {
        choice: column_of.into_iter().map(item).collect(),
        total: 0,
        slot_price: row_price.into_iter().map(|price| in_cost(price.into())).collect(),
        priced: priced.map(|(column, price)| (item(column), in_cost(price.into()))).collect(),
        bonus: Bonus::Cost(0),
    }
}

/// All costs side by side; `None` where they are too large.
fn copied(rows: &impl Rows) -> Option<Block<i64>> {
    let (slots, items) = rows.shape();
    let mut cells = Vec::with_capacity(slots * items);
    let mut room = Vec::new();
    for row in 0..slots {
        let costs = rows.row(row, &mut room).iter();
        cells.extend(costs.map(|&cost| if cost == rows::ABSENT { i64::ABSENT } else { cost }));
    }
    rows.are_small().then_some(Block { rows: slots, columns: items, cells })
}

/// The cheapest choice of these items (ascending, all of `must` among them).
pub(crate) fn cheapest_among(
    columns: &[Item],
    grid: &Grid,
    must: &Bits,
    cost: impl Fn(Slot, Item) -> i128,
) -> Option<Assigned> {
    among(columns, grid, must, cost, &Watch::unlimited())
}

fn among(
    columns: &[Item],
    grid: &Grid,
    must: &Bits,
    cost: impl Fn(Slot, Item) -> i128,
    watch: &Watch<'_>,
) -> Option<Assigned> {
    if must.is_empty()
        && let Some(cells) = narrow(columns, grid, &cost)
    {
        let block = Block { rows: grid.slot_count(), columns: columns.len(), cells };
        let back = |price: i64| in_cost(price.into());
        return Some(assigned(columns, block.cheapest(watch)?, Bonus::Cost(0), back).costing(cost));
    }
    let mut cells = Vec::with_capacity(grid.slot_count() * columns.len());
    let mut largest = 0;
    for slot in grid.slots() {
        cells.extend(columns.iter().map(|&item| {
            let cost = grid.has(slot, item).then(|| cost(slot, item));
            largest = cost.map_or(0, i128::unsigned_abs).max(largest);
            cost
        }));
    }
    let dense = Dense { columns, cells: &cells, slots: grid.slot_count(), must };
    let assigned = match Room::of(largest, grid.slot_count(), must) {
        Room::Narrow(bonus) => dense.solve(bonus, |cell| to_i64(cell.cost), |price| in_cost(price.into()), watch),
        Room::Wide(bonus) => dense.solve(bonus, |cell| cell.cost, in_cost, watch),
        Room::Ranked => dense.solve(Bonus::Rank, |cell| cell, |price| price, watch),
    }?;
    let covered = assigned.choice.iter().filter(|item| must.has(item.index())).count();
    if covered < must.iter().count() {
        return None;
    }
    Some(assigned.costing(cost))
}

/// The costs in one word each, slot after slot; `None` where one is too large for that.
fn narrow(columns: &[Item], grid: &Grid, cost: impl Fn(Slot, Item) -> i128) -> Option<Vec<i64>> {
    let largest = Room::most_narrow(grid.slot_count());
    let mut cells = Vec::with_capacity(grid.slot_count() * columns.len());
    for slot in grid.slots() {
        for &item in columns {
            cells.push(if grid.has(slot, item) {
                i64::try_from(cost(slot, item)).ok().filter(|cost| cost.unsigned_abs() <= largest)?
            } else {
                i64::ABSENT
            });
        }
    }
    Some(cells)
}

/// What a block's prices say of its columns' items.
fn assigned<W: Weight>(columns: &[Item], priced: Priced<W>, bonus: Bonus, back: impl Fn(W) -> Ranked) -> Assigned {
    let Priced { column_of, row_price, column_price } = priced;
    let priced = columns.iter().zip(column_price).filter(|&(_, price)| price != W::ZERO);
    Assigned {
        choice: column_of.iter().map(|&column| columns[column]).collect(),
        total: 0,
        slot_price: row_price.into_iter().map(&back).collect(),
        priced: priced.map(|(&item, price)| (item, back(price))).collect(),
        bonus,
    }
}

fn in_cost(cost: i128) -> Ranked {
    Ranked { rank: 0, cost }
}

fn to_i64(cost: i128) -> i64 {
    i64::try_from(cost).expect("the costs were seen to fit")
}

/// Costs of slots × columns, `None` where there is no pair.
struct Dense<'a> {
    columns: &'a [Item],
    cells: &'a [Option<i128>],
    slots: usize,
    must: &'a Bits,
}

impl Dense<'_> {
    /// The cheapest choice, calculated in the numbers that `into` makes of costs.
    fn solve<W: Weight>(
        &self,
        bonus: Bonus,
        into: impl Fn(Ranked) -> W,
        back: impl Fn(W) -> Ranked,
        watch: &Watch<'_>,
    ) -> Option<Assigned> {
        let items = self.columns.iter().cycle();
        let cell = |(cost, &item): (&Option<i128>, &Item)| {
            cost.map_or(W::ABSENT, |cost| into(bonus.apply(self.must, item, cost)))
        };
        let cells = self.cells.iter().zip(items).map(cell).collect();
        let priced = Block { rows: self.slots, columns: self.columns.len(), cells }.cheapest(watch)?;
        Some(assigned(self.columns, priced, bonus, back))
    }
}

/// The number type whose room suffices for the costs, the bonus, and the prices that come of them.
enum Room {
    Narrow(Bonus),
    Wide(Bonus),
    Ranked,
}

impl Room {
    /// Costs up to so much have narrow prices, nothing being rewarded.
    fn most_narrow(slots: usize) -> u64 {
        ((1 << 59) - 1) / span(slots)
    }

    fn of(largest: u128, slots: usize, must: &Bits) -> Self {
        let bonus = if must.is_empty() { 0 } else { largest.saturating_mul(2 * slots as u128).saturating_add(1) };
        let need = largest.saturating_add(bonus).saturating_mul(span(slots).into());
        let signed = || Bonus::Cost(i128::try_from(bonus).expect("the need, which is larger, was seen to fit"));
        if need < 1 << 59 {
            Self::Narrow(signed())
        } else if need < 1 << 123 {
            Self::Wide(signed())
        } else {
            Self::Ranked
        }
    }
}

/// The items worth looking at, ascending.
fn columns(grid: &Grid, must: &Bits, cost: impl Fn(Slot, Item) -> i128) -> Vec<Item> {
    let mut live = Bits::none(grid.item_count());
    for slot in grid.slots() {
        live.union(grid.row(slot));
    }
    let enough = grid.slot_count() + 1;
    let all: Vec<Item> = live.iter().map(Item::new).collect();
    if all.len() <= 4 * enough {
        return all;
    }
    live.clear_all();
    for item in must.iter() {
        live.set(item as usize);
    }
    let mut row = Vec::new();
    for slot in grid.slots() {
        row.clear();
        row.extend(grid.items_of(slot).map(|item| (cost(slot, item), item)));
        if row.len() > enough {
            row.select_nth_unstable(enough - 1);
            row.truncate(enough);
        }
        for (_, item) in &row {
            live.set(item.index());
        }
    }
    live.iter().map(Item::new).collect()
}

#[cfg(test)]
mod tests;
