//! Prices that hold for every pair of a table hold for those that are left of it: one pass over the table, which is not
//! copied.

use super::Case;
use super::region::Region;
use crate::proof::{Prices, Refutation};
use crate::{Measure, Sense, Slot, Table};

/// Numbers up to here can be added and subtracted three at a time.
const MOST: i64 = 1 << 61;

impl Case<'_> {
    /// Whether prices alone refute the level, and hold for every pair of its table.
    ///
    /// False says nothing: pairs that are forbidden elsewhere may cost less than their prices.
    pub(super) fn holds_everywhere(&self, reason: &Refutation) -> bool {
        let Refutation::Prices { level, prices, then: None } = reason else {
            return false;
        };
        let criterion = self.statement.criteria.get(*level).filter(|_| *level < self.limits.len());
        let Some(criterion) = criterion else {
            return false;
        };
        let is_enough = Region::bare(self.statement).sum_of(prices).is_ok_and(|bound| bound > self.limits[*level]);
        let target = match criterion.measure {
            Measure::Total => None,
            Measure::SquaresFrom { target } => Some(target),
            _ => return false,
        };
        is_enough && are_below(criterion.table, target, criterion.sense, prices) == Some(true)
    }
}

/// Whether no pair costs less than its prices; `None` where numbers are too large to tell.
fn are_below(table: &Table, target: Option<i64>, sense: Sense, prices: &Prices) -> Option<bool> {
    if prices.slots.len() != table.shape().slots {
        return None;
    }
    let mut of_items = vec![0_i64; table.shape().items];
    for &(item, price) in &prices.items {
        *of_items.get_mut(item.index())? = small(price)?;
    }
    let mut costs = Vec::with_capacity(of_items.len());
    for (slot, &of_slot) in (0..).map(Slot::new).zip(&prices.slots) {
        let of_slot = small(of_slot)?;
        let values = table.row(slot);
        let holds = if target.is_none() && sense == Sense::Least {
            is_row_below(values, &of_items, of_slot)
        } else {
            costs.clear();
            for &value in values {
                costs.push(cost(value, target, sense)?);
            }
            is_row_below(&costs, &of_items, of_slot)
        };
        if !holds {
            return Some(false);
        }
    }
    Some(true)
}

/// What a pair costs; [`Table::FORBIDDEN`] where there is none.
fn cost(value: i64, target: Option<i64>, sense: Sense) -> Option<i64> {
    if value == Table::FORBIDDEN {
        return Some(value);
    }
    let cost = match target {
        None => value,
        Some(target) => {
            let away = value.checked_sub(target)?;
            away.checked_mul(away).filter(|&square| square <= MOST)?
        }
    };
    Some(if sense == Sense::Least { cost } else { -cost })
}

fn is_row_below(costs: &[i64], of_items: &[i64], of_slot: i64) -> bool {
    let is_dear = |(&cost, &of_item): (&i64, &i64)| {
        (cost != Table::FORBIDDEN) & (cost.wrapping_sub(of_slot).wrapping_sub(of_item) < 0)
    };
    !costs.iter().zip(of_items).fold(false, |dear, pair| dear | is_dear(pair))
}

fn small(price: i128) -> Option<i64> {
    i64::try_from(price).ok().filter(|price| (-MOST..=MOST).contains(price))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Changes, Criterion, Item, Shape, Statement};

    /// Prices 0 for both slots and these for the two items, against values that leave 1 and 0 to spare.
    fn holds(items: [i128; 2], measure: Measure, sense: Sense, limit: i128) -> bool {
        let cells = [Some(1), None, Some(0), Some(1)];
        let table = Table::from_cells(Shape { slots: 2, items: 2 }, &cells).unwrap();
        let criteria = [Criterion { table: &table, measure, sense, slack: 0 }];
        let statement = Statement { criteria: &criteria, windows: &[], changes: &Changes::default() };
        let items = (0..).map(Item::new).zip(items).filter(|&(_, price)| price != 0).collect();
        let prices = Prices { slots: vec![0, 0], items };
        Case { statement: &statement, limits: &[limit] }.holds_everywhere(&Refutation::Prices {
            level: 0,
            prices,
            then: None,
        })
    }

    #[test]
    fn one_pair_below_its_prices_is_enough_to_say_nothing() {
        let target = Measure::SquaresFrom { target: 2 };
        assert!(holds([0, 0], Measure::Total, Sense::Least, -1));
        assert!(!holds([0, 0], Measure::Total, Sense::Least, 0));
        // Slot 1 and item 1 leave nothing to spare, slot 0 has no item 1.
        assert!(holds([-1, 0], Measure::Total, Sense::Least, -2));
        assert!(!holds([1, 0], Measure::Total, Sense::Least, -2));
        assert!(!holds([0, 0], Measure::Total, Sense::Most, -9));
        assert!(holds([-1, -1], Measure::Total, Sense::Most, -9));
        assert!(holds([0, 0], target, Sense::Least, -1) && !holds([0, 0], target, Sense::Most, -9));
        assert!(!holds([0, 0], Measure::Greatest, Sense::Least, -1));
    }

    #[test]
    fn numbers_too_large_for_one_pass_are_left_to_the_other_way() {
        assert!(!holds([-(1 << 62), 0], Measure::Total, Sense::Least, -(1 << 63)));
        assert!(holds([-(1 << 61), 0], Measure::Total, Sense::Least, -(1 << 62)));
    }
}
