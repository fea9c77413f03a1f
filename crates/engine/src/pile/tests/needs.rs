//! How many parts a wish takes.

use super::{deck, normal_stock};
use crate::pile::{Drawing, Need, Sought};

const SOME: Drawing = Drawing { seed: 4, futures: 80 };

/// The number found reaches the wish and one less does not.
#[test]
fn the_fewest_are_found() {
    for (sought, better) in [(Sought::EVEN, 0.4), (Sought::HIGHEST, 1.03), (Sought::near(1_000), 0.3)] {
        let pile = deck(&[0.0, 25.0, -30.0], normal_stock(7, 1), sought);
        let wanted = pile.now().unwrap() * better;
        let needs = pile.needs(wanted, 300, SOME).unwrap();
        let Need::More(fewest) = needs.expected else { panic!("{sought:?}: {needs:?}") };
        let value = |more: usize| pile.outlook(&[more], SOME).unwrap().steps[0].value.unwrap().value;
        assert!(sought.reaches(value(fewest), wanted), "{sought:?}");
        assert!(!sought.reaches(value(fewest - 1), wanted), "{sought:?}");
        let (Need::More(half), Need::More(likely)) = (needs.as_likely_as_not, needs.likely) else {
            panic!("{sought:?}: {needs:?}")
        };
        assert!(half <= likely, "{sought:?}: {half} {likely}");
    }
}

#[test]
fn what_is_there_already_needs_nothing_and_what_is_too_much_is_out_of_reach() {
    let pile = deck(&[0.0, 25.0, -30.0], normal_stock(7, 1), Sought::EVEN);
    assert_eq!(pile.needs(pile.now().unwrap(), 50, SOME).unwrap().expected, Need::None);
    let needs = pile.needs(-1.0, 50, SOME).unwrap();
    assert_eq!(needs.expected, Need::OutOfReach { most: 50 });
    assert_eq!(needs.likely, Need::OutOfReach { most: 50 });
    assert_eq!(needs.at_most.more, 50);
    assert!(needs.at_most.value.unwrap().value >= 0.0);
    let none = pile.needs(0.0, 0, SOME).unwrap();
    assert_eq!(none.expected, Need::OutOfReach { most: 0 });
}

#[test]
fn a_pile_too_small_needs_at_least_what_fills_the_positions() {
    let pile = deck(&[0.0; 9], normal_stock(6, 2), Sought::EVEN);
    let needs = pile.needs(1e9, 40, SOME).unwrap();
    assert_eq!((needs.expected, needs.likely, needs.now), (Need::More(3), Need::More(3), None));
}
