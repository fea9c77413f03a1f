//! How far an entry may be moved before it is at its minimum.

use super::report::{Headroom, Lever, Room};
use crate::fit::{Change, EntryFit, Seat};

/// No change goes further than this: 50 mm.
const FARTHEST: i64 = 50_000_000;

/// What an entry has to keep at a seat.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kept {
    pub(super) seat: Seat,
    /// The minimum and the guard band, in whole ticks.
    pub(super) least: i64,
}

/// How far each change may go, by the entry's own sum: what is left falls with each of them, so that halving finds the
/// last tick that holds. The guard band stays: a change that is decided on is known exactly.
pub(super) fn headroom(entry: &EntryFit<'_>, kept: Kept) -> Headroom {
    let room = |lever: Lever, most: i64| {
        let holds = |by: i64| entry.left_after(kept.seat, change(lever, by)).is_some_and(|left| left >= kept.least);
        last(most, holds)
    };
    #[expect(clippy::cast_possible_truncation, reason = "no gasket is thicker than a metre")]
    let thickness = entry.thickness_at(kept.seat).map_or(FARTHEST, |thickness| thickness as i64);
    Headroom {
        lift: room(Lever::Lift, FARTHEST),
        gasket: room(Lever::Gasket, thickness.min(FARTHEST)),
        piston: room(Lever::Piston, FARTHEST),
    }
}

/// A change by so many ticks.
pub(super) fn change(lever: Lever, by: i64) -> Change {
    match lever {
        Lever::Lift => Change { lift: by, ..Change::default() },
        Lever::Gasket => Change { thicker: -by, ..Change::default() },
        Lever::Piston => Change { rise: by, ..Change::default() },
    }
}

/// The last whole number up to `most` that holds, where every smaller one does, too.
fn last(most: i64, holds: impl Fn(i64) -> bool) -> Room {
    if holds(most) || !holds(-FARTHEST) {
        return Room::Free;
    }
    let (mut low, mut high) = (-FARTHEST, most);
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if holds(middle) { low = middle } else { high = middle }
    }
    Room::Upto(low)
}
