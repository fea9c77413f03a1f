//! Which entry stops the engine first.

use super::report::{Carried, Lever, Room, Stop};

/// For every change the entry that allows least of it, the first of equal ones.
pub(super) fn stops(entries: &[Carried]) -> Vec<Stop> {
    let first = |lever: Lever| {
        let room = |entry: &Carried| match entry.headroom?.of(lever) {
            Room::Upto(at) => Some(Stop { lever, id: entry.id, at }),
            Room::Free => None,
        };
        entries.iter().filter_map(room).min_by_key(|stop| stop.at)
    };
    Lever::ALL.into_iter().filter_map(first).collect()
}
