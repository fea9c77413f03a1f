//! When every item is used and adds the same everywhere, the sum over all slots is known beforehand.

use pairwright_proof::{Item, Slot, Table};

/// What every complete choice of a square table adds up to, if it is the same for all.
///
/// It is, when numbers for slots and items can be found whose sum is the value of every allowed pair: then a choice that
/// uses all of them adds up to all of those numbers. They are read off by walking over allowed pairs, O(slots · items).
pub(crate) fn fixed(table: &Table) -> Option<i128> {
    let shape = table.shape();
    if shape.slots != shape.items {
        return None;
    }
    let mut of_slot: Vec<Option<i128>> = vec![None; shape.slots];
    let mut of_item: Vec<Option<i128>> = vec![None; shape.items];
    for root in table.slots() {
        if of_slot[root.index()].is_none() {
            of_slot[root.index()] = Some(0);
            walk(table, root, &mut of_slot, &mut of_item)?;
        }
    }
    // An item without a number has no allowed pair: there is no complete choice, and any total would do.
    of_slot.iter().chain(&of_item).copied().sum()
}

fn walk(table: &Table, root: Slot, of_slot: &mut [Option<i128>], of_item: &mut [Option<i128>]) -> Option<()> {
    let mut open = vec![root];
    while let Some(slot) = open.pop() {
        for (item, value) in allowed(table, slot) {
            let rest = value - of_slot[slot.index()]?;
            match of_item[item.index()] {
                Some(known) if known != rest => return None,
                Some(_) => {}
                None => {
                    of_item[item.index()] = Some(rest);
                    for other in table.slots() {
                        if let (None, Some(value)) = (of_slot[other.index()], table.get(other, item)) {
                            of_slot[other.index()] = Some(i128::from(value) - rest);
                            open.push(other);
                        }
                    }
                }
            }
        }
    }
    Some(())
}

fn allowed(table: &Table, slot: Slot) -> impl Iterator<Item = (Item, i128)> + '_ {
    let pairs = (0..).map(Item::new).zip(table.row(slot));
    pairs.filter(|&(_, &value)| value != Table::FORBIDDEN).map(|(item, &value)| (item, i128::from(value)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use pairwright_proof::Shape;

    const SQUARE: Shape = Shape { slots: 3, items: 3 };

    #[test]
    fn sums_that_add_up_have_one_total() {
        let all = Table::from_fn(SQUARE, |slot, item| Some(10 * i64::from(slot.number()) - i64::from(item.number())));
        assert_eq!(fixed(&all.unwrap()), Some(10 + 20 - 1 - 2));
        // Two blocks that share no pair.
        let blocks = Table::from_fn(SQUARE, |slot, item| {
            ((slot.number() == 0) == (item.number() == 0)).then(|| i64::from(slot.number() * 10 + item.number()))
        });
        assert_eq!(fixed(&blocks.unwrap()), Some(30 + 3));
    }

    #[test]
    fn other_tables_have_none() {
        let product = Table::from_fn(SQUARE, |slot, item| Some(i64::from(slot.number() * item.number())));
        assert_eq!(fixed(&product.unwrap()), None);
        let spare = Table::from_fn(Shape { slots: 2, items: 3 }, |_, _| Some(1));
        assert_eq!(fixed(&spare.unwrap()), None);
    }
}
