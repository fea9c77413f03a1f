//! Items that cannot be told apart.
//!
//! Two items with equal columns in every table of a problem, neither named by a change, can trade places in any choice:
//! the choice stays allowed and every measure keeps its value. So the first of the best choices in order uses of every
//! class of such items only the first ones by number: were one used while a smaller one of its class is free, the
//! smaller
//! one in its place would give an equally good choice that comes earlier. It uses at most as many as there are slots,
//! n.
//! Dropping every item of a class but the first n therefore changes neither the answer nor its place in the order.
//! Nor does it change a shortage: slots that compete for fewer items than they are, at most n − 1, reach no class
//! that lost any.

use crate::problem::Problem;
use pairwright_proof::{Item, Slot, Table};

/// Classes of items met so far, found by a hash and confirmed by comparison.
pub(crate) struct Classes {
    /// Open addressing: 0 is empty, else the class's place plus 1.
    table: Vec<u32>,
    shift: u32,
    all: Vec<Class>,
}

struct Class {
    hash: u64,
    first: Item,
    met: usize,
}

impl Classes {
    /// Room for so many items.
    pub(crate) fn new(items: usize) -> Self {
        let size = (2 * items).next_power_of_two().max(2);
        Self { table: vec![0; size], shift: 64 - size.trailing_zeros(), all: Vec::new() }
    }

    /// How many items of its class were met before this one; `same` compares it with the first one of a class.
    pub(crate) fn meet(&mut self, hash: u64, item: Item, mut same: impl FnMut(Item) -> bool) -> usize {
        let mut at = usize::try_from(hash >> self.shift).unwrap_or(0);
        loop {
            match self.table[at] {
                0 => {
                    self.all.push(Class { hash, first: item, met: 1 });
                    self.table[at] = u32::try_from(self.all.len()).expect("a table has at most 2^30 items");
                    return 0;
                }
                place => {
                    let class = &mut self.all[place as usize - 1];
                    if class.hash == hash && same(class.first) {
                        class.met += 1;
                        return class.met - 1;
                    }
                }
            }
            at = (at + 1) % self.table.len();
        }
    }
}

/// Takes one more number into a hash whose high bits count.
pub(crate) fn mixed(hash: u64, value: i64) -> u64 {
    (hash.rotate_left(23) ^ value.cast_unsigned()).wrapping_mul(0x9E37_79B9_7F4A_7C15)
}

/// Items of which a sample is taken before all are looked at.
const SAMPLE: usize = 1024;
/// Equal columns a sample must show.
const WORTH: usize = 32;

/// Whether enough columns of a sample are equal for [`representatives`] to be worth its time.
pub(crate) fn are_many(problem: &Problem<'_>) -> bool {
    sampled(&problem.distinct_tables(), problem.shape().items) >= WORTH
}

/// The first items of every class, as many as there are slots, and all items that changes name; ascending.
///
/// O(slots · items · tables).
pub(crate) fn representatives(problem: &Problem<'_>) -> Vec<Item> {
    let tables = problem.distinct_tables();
    let shape = problem.shape();
    let mut hashes = vec![0; shape.items];
    for table in &tables {
        for slot in table.slots() {
            for (hash, &value) in hashes.iter_mut().zip(table.row(slot)) {
                *hash = mixed(*hash, value);
            }
        }
    }
    let named = named(problem);
    let mut classes = Classes::new(shape.items);
    let mut kept = Vec::new();
    for (item, &hash) in (0..).map(Item::new).zip(&hashes) {
        let is_named = named.binary_search(&item).is_ok();
        if is_named || classes.meet(hash, item, |first| same(&tables, first, item)) < shape.slots {
            kept.push(item);
        }
    }
    kept
}

/// How many items of a sample repeat the column of another one.
fn sampled(tables: &[&Table], items: usize) -> usize {
    let step = items.div_ceil(SAMPLE).max(1);
    let mut hashes: Vec<u64> = (0..items)
        .step_by(step)
        .map(|at| {
            let cells = tables.iter().flat_map(|table| table.slots().map(move |slot| table.row(slot)[at]));
            cells.fold(0, mixed)
        })
        .collect();
    hashes.sort_unstable();
    hashes.windows(2).filter(|two| two[0] == two[1]).count()
}

fn same(tables: &[&Table], one: Item, other: Item) -> bool {
    let equal = |table: &&Table, slot: Slot| table.row(slot)[one.index()] == table.row(slot)[other.index()];
    tables.iter().all(|table| table.slots().all(|slot| equal(table, slot)))
}

/// Items that some change names, ascending.
fn named(problem: &Problem<'_>) -> Vec<Item> {
    let changes = problem.changes();
    let pairs = changes.forced.iter().chain(&changes.forbidden).map(|&(_, item)| item);
    let mut named: Vec<Item> = pairs.chain(changes.left_out.iter().chain(&changes.brought_in).copied()).collect();
    named.sort_unstable();
    named
}
