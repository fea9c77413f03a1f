//! Tables that are never laid out: what the slot brings plus what the item brings.

use crate::{Choice, Item, Shape, Slot, Table, TableError};

/// Values of pairs that add up, in ticks: `value(slot, item) = slots[slot] + items[item]`; no pair is forbidden.
///
/// It stands for a [`Table`] of slots × items and takes slots + items numbers.
///
/// # Examples
/// ```
/// use pairwright_proof::{Additive, Item, Slot};
///
/// let table = Additive::new(vec![0, 5, 9], vec![0, 4, 10, 30])?;
/// assert_eq!(table.get(Slot::new(1), Item::new(2)), Some(15));
/// assert_eq!(table.laid_out()?.get(Slot::new(1), Item::new(2)), Some(15));
/// # Ok::<(), pairwright_proof::TableError>(())
/// ```
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Additive {
    slots: Vec<i64>,
    items: Vec<i64>,
}

/// Why a choice is not what is claimed of its spread.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum AdditiveFault {
    /// Not one item for every slot, an item that is not there, or one in two slots.
    #[error("the items are not one for every slot, each there and used once")]
    NoChoice,
    /// The spread is another one.
    #[error("a spread of {claimed} is claimed, and it is {actual}")]
    Spread {
        /// The spread claimed, in ticks.
        claimed: i64,
        /// The spread of the choice, in ticks.
        actual: i64,
    },
    /// A smaller spread is not ruled out.
    #[error("between {low} and {high} a smaller spread is not ruled out")]
    Open {
        /// A smallest value that a better choice may have, in ticks.
        low: i64,
        /// The largest value that it may have, in ticks.
        high: i64,
    },
}

impl Additive {
    /// A table from what every slot and every item brings.
    ///
    /// # Errors
    /// [`TableError`] if there are more slots or items than a [`Table`] may have, or the sum of the largest magnitudes of both is
    /// beyond [`Table::LIMIT`]; the first such pair is named.
    pub fn new(slots: Vec<i64>, items: Vec<i64>) -> Result<Self, TableError> {
        let shape = Shape { slots: slots.len(), items: items.len() };
        if shape.slots > Table::MOST_SLOTS || shape.items > Table::MOST_ITEMS {
            return Err(TableError::TooLarge { shape });
        }
        let largest = |of: &[i64]| {
            (0_u32..).zip(of).max_by_key(|(_, value)| value.unsigned_abs()).map(|(at, &value)| (at, value))
        };
        if let (Some((slot, one)), Some((item, other))) = (largest(&slots), largest(&items))
            && one.unsigned_abs().saturating_add(other.unsigned_abs()) > Table::LIMIT.unsigned_abs()
        {
            let value = one.saturating_add(other);
            return Err(TableError::Magnitude { slot: Slot::new(slot), item: Item::new(item), value });
        }
        Ok(Self { slots, items })
    }

    /// What every slot brings, in ticks.
    #[must_use]
    pub fn slots(&self) -> &[i64] {
        &self.slots
    }

    /// What every item brings, in ticks.
    #[must_use]
    pub fn items(&self) -> &[i64] {
        &self.items
    }

    /// How many slots and items it has.
    #[must_use]
    pub fn shape(&self) -> Shape {
        Shape { slots: self.slots.len(), items: self.items.len() }
    }

    /// The value of a pair in ticks; `None` outside the table.
    #[must_use]
    pub fn get(&self, slot: Slot, item: Item) -> Option<i64> {
        Some(self.slots.get(slot.index())? + self.items.get(item.index())?)
    }

    /// The same values pair by pair.
    ///
    /// # Errors
    /// None in truth: what a table allows was seen to when this one was made.
    pub fn laid_out(&self) -> Result<Table, TableError> {
        Table::from_fn(self.shape(), |slot, item| self.get(slot, item))
    }

    /// The smallest and the largest value of a choice; `None` if it is none. Both are 0 without slots.
    fn ends(&self, choice: &Choice) -> Option<(i64, i64)> {
        let mut used = vec![false; self.items.len()];
        let (mut low, mut high) = (i64::MAX, i64::MIN);
        for (slot, item) in choice.pairs() {
            let value = self.get(slot, item)?;
            if std::mem::replace(&mut used[item.index()], true) {
                return None;
            }
            (low, high) = (low.min(value), high.max(value));
        }
        let is_whole = choice.items().len() == self.slots.len();
        is_whole.then_some(if self.slots.is_empty() { (0, 0) } else { (low, high) })
    }
}

/// Follows why no choice of an additive table has a smaller spread than `choice`, which has the spread claimed.
///
/// Some choice of least spread keeps the order: the more a slot brings, the less its item (exchanging the items of two slots
/// that do not keep it brings both values between those they had). Of those that keep it and have no value below
/// L, the one that takes the smallest item for each slot in turn has the smallest largest value U(L), and U does not fall as L
/// rises. So a choice with a smallest value from L to U(L) − s has a spread of at least s; the check goes on behind that, until
/// there is no choice. O(n · log m) for n slots and m items, times the number of steps, after sorting both.
///
/// # Errors
/// [`AdditiveFault`] if the choice is none, has another spread, or a smaller one is possible.
///
/// # Examples
/// ```
/// use pairwright_proof::{Additive, AdditiveFault, Choice, Item, check_additive};
///
/// let table = Additive::new(vec![0, 5, 9], vec![0, 4, 10, 30])?;
/// // 0 + 10, 5 + 4 and 9 + 0 lie between 9 and 10.
/// let choice = Choice::new([2, 1, 0].map(Item::new).to_vec());
/// assert_eq!(check_additive(&table, &choice, 1), Ok(()));
/// assert_eq!(check_additive(&table, &choice, 0), Err(AdditiveFault::Spread { claimed: 0, actual: 1 }));
/// # Ok::<(), pairwright_proof::TableError>(())
/// ```
pub fn check_additive(table: &Additive, choice: &Choice, claimed: i64) -> Result<(), AdditiveFault> {
    let (low, high) = table.ends(choice).ok_or(AdditiveFault::NoChoice)?;
    let actual = high - low;
    if actual != claimed {
        return Err(AdditiveFault::Spread { claimed, actual });
    }
    let (mut slots, mut items) = (table.slots.clone(), table.items.clone());
    slots.sort_unstable_by(|one, other| other.cmp(one));
    items.sort_unstable();
    let Some(mut low) = slots.last().zip(items.first()).map(|(slot, item)| slot + item) else { return Ok(()) };
    if claimed == 0 {
        return Ok(());
    }
    while let Some(high) = least_greatest(&slots, &items, low) {
        if high - low < claimed {
            return Err(AdditiveFault::Open { low, high });
        }
        low = high - claimed + 1;
    }
    Ok(())
}

/// The smallest largest value of the choices that keep the order and have no value below `low`; `None` if there is none.
fn least_greatest(slots: &[i64], items: &[i64], low: i64) -> Option<i64> {
    let (mut from, mut greatest) = (0, None);
    for slot in slots {
        from += items[from..].partition_point(|item| slot + item < low);
        greatest = greatest.max(Some(slot + items.get(from)?));
        from += 1;
    }
    greatest
}

#[cfg(test)]
mod tests {
    use super::*;

    fn choice(items: &[u32]) -> Choice {
        Choice::new(items.iter().copied().map(Item::new).collect())
    }

    #[test]
    fn what_is_no_choice_or_not_the_best_one_is_refused() {
        let table = Additive::new(vec![0, 10], vec![0, 7, 10]).unwrap();
        assert_eq!(check_additive(&table, &choice(&[2, 0]), 0), Ok(()));
        assert_eq!(check_additive(&table, &choice(&[1, 0]), 3), Err(AdditiveFault::Open { low: 8, high: 10 }));
        for items in [&[0][..], &[0, 0], &[0, 3], &[0, 1, 2]] {
            assert_eq!(check_additive(&table, &choice(items), 0), Err(AdditiveFault::NoChoice), "{items:?}");
        }
        assert_eq!(check_additive(&Additive::new(vec![], vec![4]).unwrap(), &choice(&[]), 0), Ok(()));
    }

    #[test]
    fn numbers_beyond_what_a_table_takes_are_refused() {
        let far = Table::LIMIT / 2;
        assert!(Additive::new(vec![far], vec![1 - far, far]).is_ok());
        let error = Additive::new(vec![3, far + 1], vec![far]).unwrap_err();
        assert_eq!(error, TableError::Magnitude { slot: Slot::new(1), item: Item::new(0), value: 2 * far + 1 });
    }
}
