//! What every pair of a slot and an item is worth.

use crate::{Item, Slot};

/// How many slots and items a table has.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Shape {
    /// Number of slots (rows).
    pub slots: usize,
    /// Number of items (columns).
    pub items: usize,
}

/// Values of pairs, slots × items, in whole ticks; any pair may be forbidden.
///
/// Values lie within ±[`Table::LIMIT`] and there are at most [`Table::MOST_SLOTS`] slots, so that the sum over
/// all slots of n·v² (the largest number that any [`Measure`](crate::Measure) needs) stays inside an `i128`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Table {
    shape: Shape,
    cells: Vec<i64>,
}

/// Why numbers do not make a table.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum TableError {
    /// More slots or items than the arithmetic is safe for.
    #[error("{} slots and {} items are more than {} and {}", shape.slots, shape.items, Table::MOST_SLOTS, Table::MOST_ITEMS)]
    TooLarge {
        /// The shape asked for.
        shape: Shape,
    },
    /// The number of cells is not slots × items.
    #[error("{found} cells do not fill {} slots of {} items", shape.slots, shape.items)]
    Shape {
        /// The shape asked for.
        shape: Shape,
        /// The number of cells given.
        found: usize,
    },
    /// A value is too large to calculate with.
    #[error("the value {value} of slot {slot} and item {item} is outside ±{}", Table::LIMIT)]
    Magnitude {
        /// The slot of the cell.
        slot: Slot,
        /// The item of the cell.
        item: Item,
        /// The value given.
        value: i64,
    },
}

impl Table {
    /// The largest magnitude of a value: 2⁴⁰ ticks.
    pub const LIMIT: i64 = 1 << 40;
    /// The largest number of slots: 2²⁰.
    pub const MOST_SLOTS: usize = 1 << 20;
    /// The largest number of items: 2³⁰.
    pub const MOST_ITEMS: usize = 1 << 30;
    /// What [`Table::row`] holds where a pair is forbidden; never a value.
    pub const FORBIDDEN: i64 = i64::MIN;

    /// A table from its cells, slot after slot; `None` forbids the pair.
    ///
    /// # Errors
    /// [`TableError`] if the number of cells does not fit the shape, or a value or the shape is too large.
    pub fn from_cells(shape: Shape, cells: &[Option<i64>]) -> Result<Self, TableError> {
        check_shape(shape)?;
        if cells.len() != shape.slots * shape.items {
            return Err(TableError::Shape { shape, found: cells.len() });
        }
        let mut cells = cells.iter();
        Self::from_fn(shape, |_, _| cells.next().copied().flatten())
    }

    /// A table whose pairs are worth what `value` says, asked slot after slot, items ascending;
    /// `None` forbids the pair.
    ///
    /// # Errors
    /// [`TableError`] if a value or the shape is too large.
    pub fn from_fn(shape: Shape, mut value: impl FnMut(Slot, Item) -> Option<i64>) -> Result<Self, TableError> {
        check_shape(shape)?;
        let mut cells = Vec::with_capacity(shape.slots * shape.items);
        for slot in (0..).map(Slot::new).take(shape.slots) {
            for item in (0..).map(Item::new).take(shape.items) {
                cells.push(match value(slot, item) {
                    None => Self::FORBIDDEN,
                    Some(value) if (-Self::LIMIT..=Self::LIMIT).contains(&value) => value,
                    Some(value) => return Err(TableError::Magnitude { slot, item, value }),
                });
            }
        }
        Ok(Self { shape, cells })
    }

    /// Number of slots and items.
    pub fn shape(&self) -> Shape {
        self.shape
    }

    /// All slots, ascending.
    pub fn slots(&self) -> impl Iterator<Item = Slot> + use<> {
        (0..).map(Slot::new).take(self.shape.slots)
    }

    /// All items, ascending.
    pub fn items(&self) -> impl Iterator<Item = Item> + use<> {
        (0..).map(Item::new).take(self.shape.items)
    }

    /// The value of a pair in ticks; `None` if it is forbidden or outside the table.
    pub fn get(&self, slot: Slot, item: Item) -> Option<i64> {
        let at = self.position(slot, item)?;
        Some(self.cells[at]).filter(|&value| value != Self::FORBIDDEN)
    }

    /// The values of a slot, items ascending, [`Table::FORBIDDEN`] where the pair is forbidden; empty if there is
    /// no such slot.
    pub fn row(&self, slot: Slot) -> &[i64] {
        let start = slot.index().min(self.shape.slots) * self.shape.items;
        let end = (start + self.shape.items).min(self.cells.len());
        &self.cells[start..end]
    }

    /// Forbids a pair from now on; a pair outside the table is none already.
    pub fn forbid(&mut self, slot: Slot, item: Item) {
        if let Some(at) = self.position(slot, item) {
            self.cells[at] = Self::FORBIDDEN;
        }
    }

    fn position(&self, slot: Slot, item: Item) -> Option<usize> {
        (slot.index() < self.shape.slots && item.index() < self.shape.items)
            .then(|| slot.index() * self.shape.items + item.index())
    }
}

fn check_shape(shape: Shape) -> Result<(), TableError> {
    if shape.slots > Table::MOST_SLOTS || shape.items > Table::MOST_ITEMS {
        return Err(TableError::TooLarge { shape });
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    const TWO_BY_TWO: Shape = Shape { slots: 2, items: 2 };

    #[test]
    fn cells_are_read_slot_after_slot() {
        let table = Table::from_cells(TWO_BY_TWO, &[Some(1), None, Some(3), Some(4)]).unwrap();
        assert_eq!(table.get(Slot::new(0), Item::new(0)), Some(1));
        assert_eq!(table.get(Slot::new(0), Item::new(1)), None);
        assert_eq!(table.row(Slot::new(1)), [3, 4]);
        assert_eq!(table.row(Slot::new(2)), [0_i64; 0]);
        assert_eq!(table.get(Slot::new(0), Item::new(2)), None);
    }

    #[test]
    fn a_pair_can_be_forbidden_later() {
        let mut table = Table::from_fn(TWO_BY_TWO, |_, _| Some(5)).unwrap();
        table.forbid(Slot::new(1), Item::new(0));
        table.forbid(Slot::new(9), Item::new(9));
        assert_eq!(table.get(Slot::new(1), Item::new(0)), None);
        assert_eq!(table.get(Slot::new(1), Item::new(1)), Some(5));
    }

    #[test]
    fn wrong_numbers_are_refused_with_their_place() {
        assert_eq!(Table::from_cells(TWO_BY_TWO, &[Some(1)]), Err(TableError::Shape { shape: TWO_BY_TWO, found: 1 }));
        let too_much = Table::LIMIT + 1;
        let error = Table::from_cells(TWO_BY_TWO, &[Some(0), Some(0), Some(too_much), None]).unwrap_err();
        assert_eq!(error, TableError::Magnitude { slot: Slot::new(1), item: Item::new(0), value: too_much });
        assert_eq!(error.to_string(), "the value 1099511627777 of slot 1 and item 0 is outside ±1099511627776");
        let shape = Shape { slots: Table::MOST_SLOTS + 1, items: 1 };
        assert_eq!(Table::from_fn(shape, |_, _| None), Err(TableError::TooLarge { shape }));
    }
}
