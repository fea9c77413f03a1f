//! Steps by hand, and texts.

use super::*;
use crate::{Bundles, Item, Measure, Pile, Roles, Sense, SeveralFault, Shape, Slot, Table, Worth};

/// Two slots take two of five items each; the first slot is worth 1 more.
fn check(sense: Sense, bundles: &[&[u32]], claimed: i128, steps: Vec<SeveralStep>) -> Result<(), SeveralProofFault> {
    let items = [3, 5, 6, 9, 14];
    let table = Table::from_fn(Shape { slots: 2, items: 5 }, |_, item| Some(items[item.index()])).unwrap();
    let worth = Worth::Sum { base: &[1, 0], table: &table };
    let pile = Pile { slots: 2, items: 5, each: 2, roles: Roles::Alike };
    let bundles = Bundles(bundles.iter().map(|items| items.iter().copied().map(Item::new).collect()).collect());
    check_several_proof(pile, &worth, (Measure::Total, sense), &bundles, claimed, &SeveralProof { steps })
}

fn prices(items: &[(u32, i128)]) -> SeveralStep {
    let items = items.iter().map(|&(item, price)| (Item::new(item), price)).collect();
    SeveralStep::Prices { scale: 1, about: 0, items }
}

#[test]
fn prices_prove_the_least_total_of_four_items() {
    // The dearest item may stay out: each of the others is worth that much less than 14.
    let down = prices(&[(0, -11), (1, -9), (2, -8), (3, -5)]);
    let least: [&[u32]; 2] = [&[0, 1], &[2, 3]];
    assert_eq!(check(Sense::Least, &least, 24, vec![down.clone()]), Ok(()));
    // A unit less on one price, and the bound is not above 23 any more.
    let weak = prices(&[(0, -11), (1, -9), (2, -8), (3, -7)]);
    assert_eq!(check(Sense::Least, &least, 24, vec![weak]), Err(SeveralProofFault::Length { found: 1 }));
    assert_eq!(check(Sense::Least, &least, 24, vec![]), Err(SeveralProofFault::Length { found: 0 }));
    // Prices above 0 ask for items that need not be used.
    let up = prices(&[(4, 1)]);
    assert_eq!(check(Sense::Least, &least, 24, vec![up]), Err(SeveralProofFault::Step { step: 0 }));
    let value = SeveralFault::Value { claimed: 23, actual: 24 };
    assert_eq!(check(Sense::Least, &least, 23, vec![down.clone()]), Err(SeveralProofFault::Bundles(value)));
    let worse: [&[u32]; 2] = [&[0, 1], &[2, 4]];
    assert_eq!(check(Sense::Least, &worse, 29, vec![down]), Err(SeveralProofFault::Length { found: 1 }));
}

#[test]
fn a_slot_tried_bundle_by_bundle_and_slots_that_are_short() {
    // The greatest total leaves out the item of 3.
    let most: [&[u32]; 2] = [&[1, 2], &[3, 4]];
    assert_eq!(check(Sense::Most, &most, 35, vec![prices(&[(1, -2), (2, -3), (3, -6), (4, -11)])]), Ok(()));
    let table = Table::from_fn(Shape { slots: 2, items: 3 }, |_, _| Some(0)).unwrap();
    let worth = Worth::Sum { base: &[0, 0], table: &table };
    let pile = Pile { slots: 2, items: 3, each: 2, roles: Roles::Told };
    let both = SeveralStep::Short([0, 1].map(Slot::new).to_vec());
    let impossible = |steps| check_several_impossible(pile, &worth, &SeveralProof { steps });
    assert_eq!(impossible(vec![both]), Ok(()));
    assert_eq!(impossible(vec![SeveralStep::Each(Slot::new(1))]), Ok(()));
    let one = SeveralStep::Short(vec![Slot::new(1)]);
    assert_eq!(impossible(vec![one]), Err(SeveralProofFault::Step { step: 0 }));
    assert_eq!(impossible(vec![SeveralStep::Seat(Item::new(0))]), Err(SeveralProofFault::Step { step: 0 }));
}

#[test]
fn a_pile_too_large_to_list_is_refused() {
    let function = |_: Slot, _: &[Item]| Some(0);
    let pile = Pile { slots: 3, items: 2000, each: 5, roles: Roles::Alike };
    let checked = check_several_impossible(pile, &Worth::Function(&function), &SeveralProof::default());
    assert_eq!(checked, Err(SeveralProofFault::TooLarge));
}

/// Three slots of two out of six or seven items, items worth 1, 2, 4 and so on.
fn of_three(items: usize, asked: (Measure, Sense), steps: Vec<SeveralStep>) -> Result<(), SeveralProofFault> {
    let table = Table::from_fn(Shape { slots: 3, items }, |_, item| Some(1 << item.number())).unwrap();
    let worth = Worth::Sum { base: &[0, 0, 0], table: &table };
    let pile = Pile { slots: 3, items, each: 2, roles: Roles::Alike };
    let bundles = Bundles([[0, 1], [2, 3], [4, 5]].map(|bundle| bundle.map(Item::new).to_vec()).to_vec());
    let claimed = crate::measure::of_values(asked.0, &[3, 12, 48]).unwrap();
    check_several_proof(pile, &worth, asked, &bundles, claimed, &SeveralProof { steps })
}

#[test]
fn a_step_that_does_not_suit_what_is_asked_is_refused() {
    let (tops, sums) = (SeveralStep::Tops(vec![]), SeveralStep::Sums(vec![]));
    let short = |slots: &[u32]| SeveralStep::Short(slots.iter().copied().map(Slot::new).collect());
    let unfit = Err(SeveralProofFault::Step { step: 0 });
    let ended = Err(SeveralProofFault::Length { found: 1 });
    let (spread, total) = ((Measure::Spread, Sense::Least), (Measure::Total, Sense::Least));
    let (squares, greatest) = ((Measure::SquaresAboutMean, Sense::Least), (Measure::Greatest, Sense::Least));
    assert_eq!(of_three(7, spread, vec![tops.clone()]), ended);
    assert_eq!(of_three(7, spread, vec![sums.clone()]), unfit);
    assert_eq!(of_three(7, spread, vec![prices(&[])]), unfit);
    assert_eq!(of_three(7, squares, vec![sums.clone()]), ended);
    for asked in [squares, total, greatest] {
        assert_eq!(of_three(7, asked, vec![tops.clone()]), unfit);
    }
    for asked in [total, greatest] {
        assert_eq!(of_three(7, asked, vec![sums.clone()]), unfit);
    }
    assert_eq!(of_three(7, greatest, vec![prices(&[])]), unfit);
    // Items that may stay out have no seat, and those that are all used have.
    assert_eq!(of_three(7, spread, vec![SeveralStep::Seat(Item::new(6))]), unfit);
    assert_eq!(of_three(6, spread, vec![SeveralStep::Seat(Item::new(5))]), ended);
    // A slot named often enough would be short of anything.
    for slots in [&[0, 0, 0, 0][..], &[1, 0], &[0, 1, 2], &[]] {
        assert_eq!(of_three(7, spread, vec![short(slots)]), unfit);
    }
    assert_eq!(of_three(7, spread, vec![SeveralStep::Tops(vec![5, 4])]), unfit);
    assert_eq!(of_three(7, squares, vec![SeveralStep::Sums(vec![5, 5])]), unfit);
    assert_eq!(of_three(7, squares, vec![SeveralStep::Sums(vec![i128::MAX])]), unfit);
    let large = SeveralStep::Prices { scale: i128::MAX, about: 0, items: vec![] };
    assert_eq!(of_three(7, squares, vec![large]), Err(SeveralProofFault::TooLarge));
}

#[test]
fn what_no_proof_speaks_of_is_refused() {
    let asked = (Measure::Spread, Sense::Most);
    let (measure, sense) = asked;
    assert_eq!(of_three(7, asked, vec![]), Err(SeveralProofFault::Measure { measure, sense }));
}

#[test]
fn a_branch_that_would_hold_too_much_is_refused() {
    let shape = Shape { slots: 2, items: 40 };
    let table = Table::from_fn(shape, |_, item| Some(1 << item.number().min(30))).unwrap();
    let worth = Worth::Sum { base: &[0, 0], table: &table };
    let pile = Pile { slots: 2, items: 40, each: 2, roles: Roles::Alike };
    let bundles = Bundles([[0, 1], [2, 3]].map(|bundle| bundle.map(Item::new).to_vec()).to_vec());
    // Every step leaves all servings open once more.
    let check = |steps: usize| {
        let proof = SeveralProof { steps: vec![SeveralStep::Tops(vec![i64::MAX]); steps] };
        check_several_proof(pile, &worth, (Measure::Spread, Sense::Least), &bundles, 9, &proof)
    };
    let most = SeveralProof::MOST_HELD / (2 * 40 * 39 / 2);
    assert_eq!(check(most), Err(SeveralProofFault::Length { found: most }));
    assert_eq!(check(most + 1), Err(SeveralProofFault::TooLarge));
}

#[test]
fn texts_come_back_and_slips_are_named() {
    let steps = vec![
        SeveralStep::Tops(vec![-3, 40]),
        SeveralStep::Sums(vec![]),
        SeveralStep::Short(vec![Slot::new(0), Slot::new(2)]),
        SeveralStep::Prices { scale: 8, about: -5, items: vec![(Item::new(3), -2)] },
        SeveralStep::Seat(Item::new(1)),
    ];
    let proof = SeveralProof { steps };
    assert_eq!(proof.numbers(), 3 + 1 + 3 + 5 + 2);
    let text = write_several_proof(&proof);
    assert_eq!(parse_several_proof(&text), Ok(proof));
    for broken in [text.replace("prices 8", "prices x"), text.replace("tops", "top"), text.replace("3=-2", "3")] {
        assert!(matches!(parse_several_proof(&broken), Err(crate::ParseError::Line { .. })), "{broken}");
    }
    assert!(parse_several_proof("").is_err());
}
