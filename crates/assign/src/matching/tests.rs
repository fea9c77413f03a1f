use super::*;
use proptest::collection::vec;
use proptest::prelude::*;

fn grid(rows: &[&[u32]], items: usize) -> Grid {
    let slots = u32::try_from(rows.len()).unwrap();
    let mut grid = Grid::none(slots, items);
    for (slot, row) in (0..).map(Slot::new).zip(rows) {
        for &item in *row {
            grid.set(slot, Item::new(item));
        }
    }
    grid
}

fn bits(size: usize, members: &[usize]) -> Bits {
    let mut bits = Bits::none(size);
    for &member in members {
        bits.set(member);
    }
    bits
}

#[test]
fn a_long_augmenting_path_is_found() {
    let grid = grid(&[&[0], &[0, 1], &[1, 70], &[70, 71]], 80);
    let mut matching = Matching::empty(&grid);
    matching.join(Slot::new(1), Item::new(0));
    matching.join(Slot::new(2), Item::new(1));
    matching.join(Slot::new(3), Item::new(70));
    assert_eq!(matching.complete(&grid, &Bits::none(80)), Ok(()));
    assert_eq!(matching.choice(), [0, 1, 70, 71].map(Item::new));
}

#[test]
fn too_few_items_are_named_with_exactly_the_slots_that_compete() {
    let grid = grid(&[&[0, 1], &[0, 1, 2, 3], &[0, 1], &[1]], 4);
    let refused = Matching::empty(&grid).complete(&grid, &Bits::none(4));
    let violator = Violator::Slots { slots: bits(4, &[0, 2, 3]), items: bits(4, &[0, 1]) };
    assert_eq!(refused, Err(violator.clone()));
    assert!(violator.is_broken_by(Slot::new(3), Item::new(3)));
    assert!(!violator.is_broken_by(Slot::new(1), Item::new(3)));
    assert!(!violator.is_broken_by(Slot::new(3), Item::new(0)));
}

#[test]
fn items_that_must_be_used_push_others_out() {
    let grid = grid(&[&[0, 3], &[0, 1, 2]], 4);
    let mut matching = Matching::empty(&grid);
    matching.join(Slot::new(0), Item::new(3));
    matching.join(Slot::new(1), Item::new(1));
    assert_eq!(matching.complete(&grid, &bits(4, &[0, 2])), Ok(()));
    assert_eq!(matching.choice(), [0, 2].map(Item::new));
}

#[test]
fn items_that_must_share_a_slot_are_named() {
    let grid = grid(&[&[0, 1], &[2, 1]], 3);
    assert_eq!(Matching::empty(&grid).complete(&grid, &bits(3, &[0, 1])), Ok(()));
    let refused = Matching::empty(&grid).complete(&grid, &bits(3, &[0, 1, 2]));
    let violator = Violator::Items { items: bits(3, &[0, 1, 2]), slots: bits(2, &[0, 1]) };
    assert_eq!(refused, Err(violator));
}

/// Every choice of a grid that uses all of `must`, in order.
fn choices(grid: &Grid, must: &Bits) -> Vec<Vec<Item>> {
    let mut all = vec![Vec::new()];
    for slot in grid.slots() {
        let longer = |choice: Vec<Item>| {
            let free = grid.items_of(slot).filter(|item| !choice.contains(item)).collect::<Vec<_>>();
            free.into_iter().map(move |item| [&choice[..], &[item]].concat())
        };
        all = all.into_iter().flat_map(longer).collect();
    }
    all.retain(|choice| must.iter().all(|item| choice.contains(&Item::new(item))));
    all
}

proptest! {
    #[test]
    fn prop_the_first_in_order_is_that_of_enumeration(
        rows in vec(vec(any::<bool>(), 7), 1..6),
        must in vec(0_usize..7, 0..3),
    ) {
        let members = |row: &Vec<bool>| (0..).zip(row).filter(|(_, has)| **has).map(|(at, _)| at).collect::<Vec<u32>>();
        let rows: Vec<Vec<u32>> = rows.iter().map(members).collect();
        let grid = grid(&rows.iter().map(Vec::as_slice).collect::<Vec<_>>(), 7);
        let must = bits(7, &must);
        let mut matching = Matching::empty(&grid);
        let is_complete = matching.complete(&grid, &must).is_ok();
        let all = choices(&grid, &must);
        prop_assert_eq!(is_complete, !all.is_empty());
        if let Some(first) = all.first() {
            matching.put_in_order(&grid, &must, || true);
            prop_assert_eq!(&matching.choice(), first);
            prop_assert_eq!(matching.complete(&grid, &must), Ok(()));
        }
    }
}
