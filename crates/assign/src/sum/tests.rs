use super::*;

fn full(slots: u32, items: u32) -> Grid {
    let mut grid = Grid::none(slots, items as usize);
    for slot in grid.slots() {
        for item in (0..items).map(Item::new) {
            grid.set(slot, item);
        }
    }
    grid
}

fn total_of(large: i128) -> (Option<Assigned>, Option<Assigned>) {
    let grid = full(2, 3);
    let costs = [[1, 2, 9], [1, 5, 9]];
    let cost = |slot: Slot, item: Item| costs[slot.index()][item.index()] * large;
    let mut must = Bits::none(3);
    let free = cheapest(&grid, &must, cost);
    must.set(2);
    (free, cheapest(&grid, &must, cost))
}

#[test]
fn every_width_of_number_gives_the_same_answer() {
    for large in [1, 1 << 50, 1 << 90, 1 << 118] {
        let (free, with_item_2) = total_of(large);
        let free = free.unwrap();
        assert_eq!((free.choice, free.total), (vec![Item::new(1), Item::new(0)], 3 * large));
        assert_eq!(with_item_2.unwrap().total, 10 * large);
    }
}

#[test]
fn the_cheapest_choices_are_exactly_what_is_kept() {
    // Slots 0 and 1 are alike; items 0 and 1 cost the same, item 2 more, item 3 most.
    let mut grid = full(2, 4);
    let cost = |_: Slot, item: Item| [3, 3, 4, 9][item.index()];
    let mut must = Bits::none(4);
    let assigned = cheapest(&grid, &must, cost).unwrap();
    assert_eq!(assigned.total, 6);
    let (mut wider, mut compulsory) = (grid.clone(), must.clone());
    assigned.keep_within(&mut grid, &mut must, 0, cost);
    assert!(grid.slots().all(|slot| !grid.has(slot, Item::new(3))));
    // Item 2 may stay as a pair only if it could not replace a compulsory one.
    let uses_2 = grid.slots().any(|slot| grid.has(slot, Item::new(2)));
    assert!(!uses_2 || (must.has(0) && must.has(1)));
    assigned.keep_within(&mut wider, &mut compulsory, 1, cost);
    assert!(wider.has(Slot::new(0), Item::new(2)) && !wider.has(Slot::new(0), Item::new(3)));
}

#[test]
fn an_item_that_fits_nowhere_cannot_be_brought_in() {
    let mut grid = full(2, 3);
    grid.clear_item(Item::new(2));
    let mut must = Bits::none(3);
    must.set(2);
    assert!(cheapest(&grid, &must, |_, _| 1).is_none());
}

#[test]
fn many_items_are_cut_down_without_loss() {
    let grid = full(3, 400);
    let cost = |slot: Slot, item: Item| i128::from((slot.number() * 37 + item.number() * 101) % 397);
    let columns = columns(&grid, &Bits::none(400), cost);
    assert!(columns.len() <= 12);
    let assigned = cheapest(&grid, &Bits::none(400), cost).unwrap();
    let brute = (0..400_u32).map(Item::new);
    let mut best = i128::MAX;
    for a in brute.clone() {
        for b in brute.clone().filter(|&b| b != a) {
            let two = cost(Slot::new(0), a) + cost(Slot::new(1), b);
            if two < best {
                let third = brute.clone().filter(|&c| c != a && c != b).map(|c| cost(Slot::new(2), c)).min();
                best = best.min(two + third.unwrap());
            }
        }
    }
    assert_eq!(assigned.total, best);
}
