//! Items that can stand for each other.

use pairwright_proof::{Choice, Couple, Item, Table};

/// For every item the one before it that is the same in every slot and beside every other item.
#[derive(Debug)]
pub(crate) struct Alike {
    before: Vec<Option<u16>>,
}

impl Alike {
    /// Of a table's items, where `barred` lists for every item what it must not meet.
    pub(crate) fn of(table: &Table, barred: &[Vec<Item>]) -> Self {
        let column = |item: Item| -> Vec<i64> { table.slots().map(|slot| table.row(slot)[item.index()]).collect() };
        let mut keyed: Vec<(Vec<i64>, &[Item], Item)> =
            table.items().map(|item| (column(item), barred[item.index()].as_slice(), item)).collect();
        keyed.sort_unstable();
        let mut before = vec![None; keyed.len()];
        for two in keyed.windows(2) {
            if two[0].0 == two[1].0 && two[0].1 == two[1].1 {
                before[two[1].2.index()] = u16::try_from(two[0].2.number()).ok();
            }
        }
        Self { before }
    }

    /// No two of so many items are known to be alike.
    pub(crate) fn none(count: usize) -> Self {
        Self { before: vec![None; count] }
    }

    pub(crate) fn before(&self, item: u16) -> Option<u16> {
        self.before[usize::from(item)]
    }

    /// The first, in order, of all choices that differ from this one by exchanging items that are alike.
    pub(crate) fn first_of(&self, items: &[Item]) -> Choice {
        let class = |item: Item| {
            let mut at = item.number();
            while let Some(before) = self.before[at as usize] {
                at = u32::from(before);
            }
            at
        };
        let mut next: Vec<Option<u32>> = (0..).map(Some).take(self.before.len()).collect();
        let mut after = vec![None; self.before.len()];
        for (item, before) in (0_u32..).zip(&self.before) {
            if let Some(before) = before {
                after[usize::from(*before)] = Some(item);
            }
        }
        let first = |&item: &Item| {
            let class = class(item) as usize;
            let chosen = next[class].unwrap_or(item.number());
            next[class] = after[chosen as usize];
            Item::new(chosen)
        };
        Choice::new(items.iter().map(first).collect())
    }
}

/// For every item of the first kind what it must not meet, and the same for the second; sorted, each once.
pub(crate) fn barred_lists(barred: &[Couple], first: usize, second: usize) -> [Vec<Vec<Item>>; 2] {
    let mut lists = [vec![Vec::new(); first], vec![Vec::new(); second]];
    for couple in barred {
        lists[0][couple.first.index()].push(couple.second);
        lists[1][couple.second.index()].push(couple.first);
    }
    for list in lists.iter_mut().flatten() {
        list.sort_unstable();
        list.dedup();
    }
    lists
}
