//! What stands apart, and the readings that tie it.

use super::super::{PartId, PositionId, Reading, Tie, reduce};
use super::{plain_gauge, reading};
use proptest::prelude::*;

fn tie(part: u32, position: u32) -> Tie {
    Tie { part: PartId::new(part), position: PositionId::new(position) }
}

#[test]
fn a_loose_position_is_tied_with_the_control_part_and_a_loose_part_in_the_position_read_most() {
    let readings = [(0, 0), (0, 1), (0, 2), (1, 1)].map(|(part, position)| reading(1, part, position, 0.0));
    let effects = reduce(3, 4, &readings, &plain_gauge(), &[]).unwrap();
    let untied = effects.untied();
    assert_eq!(untied.ties, [tie(0, 3), tie(2, 1)]);
    assert_eq!(
        (untied.parts.as_slice(), untied.positions.as_slice()),
        (&[PartId::new(2)][..], &[PositionId::new(3)][..])
    );
    assert_eq!(untied.pairs, 12 - 6);
    assert_eq!(effects.predict(PartId::new(0), PositionId::new(3)), None);
}

#[test]
fn without_readings_one_part_goes_everywhere_and_all_parts_into_one_position() {
    let effects = reduce(3, 2, &[], &plain_gauge(), &[]).unwrap();
    assert_eq!(effects.untied().ties, [tie(0, 0), tie(0, 1), tie(1, 0), tie(2, 0)]);
    assert_eq!(effects.components(), 0);
    assert!(reduce(0, 0, &[], &plain_gauge(), &[]).unwrap().untied().ties.is_empty());
    assert!(reduce(2, 0, &[], &plain_gauge(), &[]).unwrap().untied().ties.is_empty());
}

#[test]
fn components_have_no_common_zero() {
    let readings = [(0, 0), (1, 1)].map(|(part, position)| reading(1, part, position, 0.0));
    let effects = reduce(2, 2, &readings, &plain_gauge(), &[]).unwrap();
    assert_eq!(effects.components(), 2);
    assert_eq!(effects.untied().ties, [tie(0, 1)]);
    let pair = |part, position| (PartId::new(part), PositionId::new(position));
    assert_eq!(effects.difference(pair(0, 0), pair(1, 1)), None);
    assert_eq!(effects.covariance(&[pair(0, 0), pair(1, 0)]), None);
    assert_eq!(effects.component_of_part(PartId::new(9)), None);
    assert_eq!(effects.predict(PartId::new(9), PositionId::new(9)), None);
}

proptest! {
    /// Any readings at all: taking the proposed readings ties everything, and one fewer does not.
    #[test]
    fn the_proposed_readings_are_enough_and_none_too_many(
        parts in 1_u32..7, positions in 1_u32..6,
        cells in prop::collection::vec((any::<u32>(), any::<u32>()), 0..9),
    ) {
        let mut readings: Vec<Reading> =
            cells.iter().map(|(part, position)| reading(1, part % parts, position % positions, 0.0)).collect();
        let (n, m) = (parts as usize, positions as usize);
        let before = reduce(n, m, &readings, &plain_gauge(), &[]).unwrap();
        let possible = (0..parts).flat_map(|i| (0..positions).map(move |j| (PartId::new(i), PositionId::new(j))));
        let open = possible.filter(|(part, position)| before.predict(*part, *position).is_none()).count();
        prop_assert_eq!(open as u64, before.untied().pairs);
        let ties = before.untied().ties.clone();
        let nodes = before.components() + before.untied().parts.len() + before.untied().positions.len();
        prop_assert_eq!(ties.len(), nodes - 1);
        readings.extend(ties.iter().map(|tie| Reading { part: tie.part, position: tie.position, ..reading(1, 0, 0, 0.0) }));
        let after = reduce(n, m, &readings, &plain_gauge(), &[]).unwrap();
        prop_assert_eq!((after.untied().pairs, after.components()), (0, 1));
    }
}
