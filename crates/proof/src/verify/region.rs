//! The pairs a choice may still use.

use super::Flaw;
use crate::proof::Prices;
use crate::{Item, Slot, Statement, Table};

/// Pairs that are left, and items that must be used.
#[derive(Clone, Debug)]
pub(crate) struct Region {
    pub(crate) rows: Vec<Vec<Item>>,
    pub(crate) items: usize,
    /// Ascending.
    pub(crate) must: Vec<Item>,
}

/// Whether numbers ascend, no two of them equal.
pub(crate) fn ascending<T: PartialOrd>(mut all: impl Iterator<Item = T>) -> bool {
    let Some(mut before) = all.next() else {
        return true;
    };
    all.all(|next| {
        let ascends = before < next;
        before = next;
        ascends
    })
}

impl Region {
    /// What tables and changes allow.
    pub(crate) fn whole(statement: &Statement<'_>) -> Self {
        let of_criteria = statement.criteria.iter().map(|criterion| criterion.table);
        let tables: Vec<&Table> = of_criteria.chain(statement.windows.iter().map(|window| window.table)).collect();
        let changes = statement.changes;
        let Some(first) = tables.first() else {
            return Self { rows: Vec::new(), items: 0, must: changes.brought_in.clone() };
        };
        let mut left_out = vec![false; first.shape().items];
        for &item in &changes.left_out {
            if let Some(left_out) = left_out.get_mut(item.index()) {
                *left_out = true;
            }
        }
        let mut forbidden = changes.forbidden.clone();
        forbidden.sort_unstable();
        let is_against_forced =
            |slot: Slot, item: Item| changes.forced.iter().any(|&(forced, taken)| (forced == slot) != (taken == item));
        let allows = |slot: Slot, item: Item| {
            !left_out[item.index()]
                && tables.iter().all(|table| table.get(slot, item).is_some())
                && forbidden.binary_search(&(slot, item)).is_err()
                && !is_against_forced(slot, item)
        };
        let row = |slot: Slot| first.items().filter(|&item| allows(slot, item)).collect();
        Self { rows: first.slots().map(row).collect(), items: first.shape().items, must: must(statement) }
    }

    /// Shape and items that must be used, without the pairs.
    pub(super) fn bare(statement: &Statement<'_>) -> Self {
        let of_criteria = statement.criteria.iter().map(|criterion| criterion.table);
        let shape = of_criteria.chain(statement.windows.iter().map(|window| window.table)).next().map(Table::shape);
        let (slots, items) = shape.map_or((0, 0), |shape| (shape.slots, shape.items));
        Self { rows: vec![Vec::new(); slots], items, must: must(statement) }
    }

    pub(crate) fn retain(&mut self, keep: impl Fn(Slot, Item) -> bool) {
        for (slot, row) in (0..).map(Slot::new).zip(&mut self.rows) {
            row.retain(|&item| keep(slot, item));
        }
    }

    fn pairs(&self) -> impl Iterator<Item = (Slot, Item)> + '_ {
        (0..).map(Slot::new).zip(&self.rows).flat_map(|(slot, row)| row.iter().map(move |&item| (slot, item)))
    }

    /// Whether the slots may take only the items, which are fewer.
    pub(crate) fn check_slots(&self, slots: &[Slot], items: &[Item]) -> Result<(), Flaw> {
        self.check_names(slots, items)?;
        if items.len() >= slots.len() {
            return Err(Flaw::NotFewer { named: slots.len(), found: items.len() });
        }
        for &slot in slots {
            if let Some(&item) = self.rows[slot.index()].iter().find(|item| items.binary_search(item).is_err()) {
                return Err(Flaw::Leak { slot, item });
            }
        }
        Ok(())
    }

    /// Whether the items, which must be used, fit only the slots, which are fewer.
    pub(crate) fn check_items(&self, items: &[Item], slots: &[Slot]) -> Result<(), Flaw> {
        self.check_names(slots, items)?;
        if slots.len() >= items.len() {
            return Err(Flaw::NotFewer { named: items.len(), found: slots.len() });
        }
        if let Some(&item) = items.iter().find(|item| self.must.binary_search(item).is_err()) {
            return Err(Flaw::Free { item });
        }
        let leads_out =
            |&(slot, item): &(Slot, Item)| items.binary_search(&item).is_ok() && slots.binary_search(&slot).is_err();
        match self.pairs().find(leads_out) {
            Some((slot, item)) => Err(Flaw::Leak { slot, item }),
            None => Ok(()),
        }
    }

    fn check_names(&self, slots: &[Slot], items: &[Item]) -> Result<(), Flaw> {
        let are_there = slots.iter().all(|slot| slot.index() < self.rows.len())
            && items.iter().all(|item| item.index() < self.items);
        let ascend = ascending(slots.iter()) && ascending(items.iter());
        if are_there && ascend { Ok(()) } else { Err(Flaw::Order) }
    }

    /// What all prices come to, if they are sound in themselves.
    pub(crate) fn sum_of(&self, prices: &Prices) -> Result<i128, Flaw> {
        let (expected, found) = (self.rows.len(), prices.slots.len());
        if expected != found {
            return Err(Flaw::Prices { expected, found });
        }
        let named: Vec<Item> = prices.items.iter().map(|&(item, _)| item).collect();
        self.check_names(&[], &named)?;
        let is_reward = |&&(item, price): &&(Item, i128)| price > 0 && self.must.binary_search(&item).is_err();
        if let Some(&(item, _)) = prices.items.iter().find(is_reward) {
            return Err(Flaw::Reward { item });
        }
        let all = prices.slots.iter().copied().chain(prices.items.iter().map(|&(_, price)| price));
        all.into_iter().try_fold(0_i128, i128::checked_add).ok_or(Flaw::Overflow)
    }

    /// The bound that prices give, if no pair costs less than its prices.
    pub(crate) fn check_prices(
        &self,
        prices: &Prices,
        cost: &dyn Fn(Slot, Item) -> Option<i128>,
    ) -> Result<i128, Flaw> {
        let bound = self.sum_of(prices)?;
        let by_item = self.by_item(prices);
        for (slot, item) in self.pairs() {
            if above(prices, &by_item, slot, item, cost)? < 0 {
                return Err(Flaw::Dear { slot, item });
            }
        }
        Ok(bound)
    }

    /// The pairs that a choice may use whose cost is at most `leftover` above the bound of sound prices.
    pub(crate) fn within(
        &self,
        prices: &Prices,
        cost: &dyn Fn(Slot, Item) -> Option<i128>,
        leftover: i128,
    ) -> Result<Self, Flaw> {
        let by_item = self.by_item(prices);
        let mut rows = vec![Vec::new(); self.rows.len()];
        for (slot, item) in self.pairs() {
            if above(prices, &by_item, slot, item, cost)? <= leftover {
                rows[slot.index()].push(item);
            }
        }
        let mut must = self.must.clone();
        must.extend(prices.items.iter().filter(|&&(_, price)| price < -leftover).map(|&(item, _)| item));
        must.sort_unstable();
        must.dedup();
        Ok(Self { rows, items: self.items, must })
    }

    fn by_item(&self, prices: &Prices) -> Vec<i128> {
        let mut by_item = vec![0; self.items];
        for &(item, price) in &prices.items {
            by_item[item.index()] = price;
        }
        by_item
    }

    /// The pairs of every slot, by their values in a table.
    pub(crate) fn by_value<'t>(&self, table: &'t Table) -> ByValue<'t> {
        let row = |(slot, items): (Slot, &Vec<Item>)| {
            let values = table.row(slot);
            let mut row: Vec<(i64, Item)> = items.iter().map(|&item| (values[item.index()], item)).collect();
            row.sort_unstable();
            row
        };
        ByValue { table, rows: (0..).map(Slot::new).zip(&self.rows).map(row).collect() }
    }
}

/// The items that must be used, ascending.
fn must(statement: &Statement<'_>) -> Vec<Item> {
    let mut must = statement.changes.brought_in.clone();
    must.sort_unstable();
    must.dedup();
    must
}

/// How much more a pair costs than its prices.
fn above(
    prices: &Prices,
    by_item: &[i128],
    slot: Slot,
    item: Item,
    cost: &dyn Fn(Slot, Item) -> Option<i128>,
) -> Result<i128, Flaw> {
    let cost = cost(slot, item);
    let above = cost.and_then(|cost| cost.checked_sub(prices.slots[slot.index()])?.checked_sub(by_item[item.index()]));
    above.ok_or(Flaw::Overflow)
}

/// Pairs in the order of their values.
pub(crate) struct ByValue<'t> {
    table: &'t Table,
    pub(crate) rows: Vec<Vec<(i64, Item)>>,
}

impl ByValue<'_> {
    /// The value of a pair that is left.
    pub(crate) fn value(&self, slot: Slot, item: Item) -> Option<i64> {
        let value = self.table.get(slot, item)?;
        self.rows[slot.index()].binary_search(&(value, item)).ok().map(|_| value)
    }

    /// The part of the region with values between two ends.
    pub(crate) fn between(&self, low: i128, high: i128, of: &Region) -> Region {
        let row = |row: &Vec<(i64, Item)>| {
            let from = row.partition_point(|&(value, _)| i128::from(value) < low);
            let inside = row[from..].iter().take_while(|&&(value, _)| i128::from(value) <= high);
            inside.map(|&(_, item)| item).collect()
        };
        Region { rows: self.rows.iter().map(row).collect(), items: of.items, must: of.must.clone() }
    }
}
