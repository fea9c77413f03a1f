//! Checking prices for squares about the mean.

use super::region::{ByValue, Region, ascending};
use super::{Case, Flaw};
use crate::proof::{Prices, SumRun};
use crate::{Item, Measure, Sense, Slot};

impl Case<'_> {
    /// Every stretch of sums has a bound above the limit, or what follows it refutes the rest.
    pub(super) fn sums(&self, region: &Region, level: usize, runs: &[SumRun], depth: usize) -> Result<(), Flaw> {
        let criterion = self.statement.criteria.get(level).filter(|_| level < self.limits.len()).ok_or(Flaw::Kind)?;
        if criterion.measure != Measure::SquaresAboutMean || criterion.sense != Sense::Least {
            return Err(Flaw::Kind);
        }
        if !ascending(runs.iter().map(|run| run.until)) {
            return Err(Flaw::Order);
        }
        let rows = region.by_value(criterion.table);
        let Some((lowest, highest)) = reach(&rows) else {
            // Some slot has nothing: there is no choice.
            return Ok(());
        };
        let count = rows.rows.len() as i128;
        let mut first = lowest;
        for run in runs {
            let last = run.until.min(highest);
            if first > last {
                continue;
            }
            let about = Costs { count, about: run.about };
            let bound = about.check(&rows, region, &run.prices)?;
            let leftovers = [first, last].map(|sum| about.leftover(sum, bound, self.limits[level]));
            let leftover = leftovers[0].and_then(|one| Some(one.max(leftovers[1]?))).ok_or(Flaw::Overflow)?;
            let cost = |slot: Slot, item: Item| about.cost(criterion.table.row(slot)[item.index()]);
            self.follow(region, &run.prices, &cost, (bound, level, leftover), run.then.as_deref(), depth)?;
            first = last + 1;
        }
        if first > highest { Ok(()) } else { Err(Flaw::Gap) }
    }
}

/// The smallest and the largest sum that values can have; `None` if some slot has none.
fn reach(rows: &ByValue<'_>) -> Option<(i128, i128)> {
    rows.rows
        .iter()
        .try_fold((0, 0), |(low, high), row| Some((low + i128::from(row.first()?.0), high + i128::from(row.last()?.0))))
}

/// n·v² − 2·about·v.
struct Costs {
    count: i128,
    about: i128,
}

impl Costs {
    fn cost(&self, value: i64) -> Option<i128> {
        let value = i128::from(value);
        let twice = self.about.checked_mul(2)?;
        self.count.checked_mul(value)?.checked_sub(twice)?.checked_mul(value)
    }

    /// How much more than the bound a choice with this sum may cost.
    fn leftover(&self, sum: i128, bound: i128, limit: i128) -> Option<i128> {
        let back = self.about.checked_mul(2)?.checked_mul(sum)?;
        limit.checked_add(sum.checked_mul(sum)?)?.checked_sub(back)?.checked_sub(bound)
    }

    /// The bound that the prices give. Of the items without a price only the cheapest one of every slot is looked at:
    /// the one
    /// whose value is nearest to the mean on either side.
    fn check(&self, rows: &ByValue<'_>, region: &Region, prices: &Prices) -> Result<i128, Flaw> {
        let bound = region.sum_of(prices)?;
        for ((slot, row), &price) in (0..).map(Slot::new).zip(&rows.rows).zip(&prices.slots) {
            let middle = row.partition_point(|&(value, _)| self.count.saturating_mul(value.into()) < self.about);
            self.check_side(slot, row[middle..].iter(), price, prices)?;
            self.check_side(slot, row[..middle].iter().rev(), price, prices)?;
            self.check_priced(slot, rows, prices)?;
        }
        Ok(bound)
    }

    /// Pairs ever farther from the mean: the first one without an item price decides.
    fn check_side<'a>(
        &self,
        slot: Slot,
        mut row: impl Iterator<Item = &'a (i64, Item)>,
        price: i128,
        prices: &Prices,
    ) -> Result<(), Flaw> {
        match row.find(|(_, item)| priced(prices, *item).is_none()) {
            None => Ok(()),
            Some(&(value, item)) => {
                let cost = self.cost(value).ok_or(Flaw::Overflow)?;
                if cost < price { Err(Flaw::Dear { slot, item }) } else { Ok(()) }
            }
        }
    }

    /// Pairs whose item has a price.
    fn check_priced(&self, slot: Slot, rows: &ByValue<'_>, prices: &Prices) -> Result<(), Flaw> {
        for &(item, price) in &prices.items {
            let Some(value) = rows.value(slot, item) else {
                continue;
            };
            let cost = self.cost(value).ok_or(Flaw::Overflow)?;
            let above = cost.checked_sub(prices.slots[slot.index()]).and_then(|above| above.checked_sub(price));
            if above.ok_or(Flaw::Overflow)? < 0 {
                return Err(Flaw::Dear { slot, item });
            }
        }
        Ok(())
    }
}

fn priced(prices: &Prices, item: Item) -> Option<i128> {
    let at = prices.items.binary_search_by_key(&item, |&(item, _)| item).ok()?;
    Some(prices.items[at].1)
}
