//! What a change from one column to another costs two rows.

use crate::rows::{ABSENT, Rows};

/// What one row pays for another column, and another row for the same change.
pub(super) struct Change {
    pub(super) one: i64,
    pub(super) other: i64,
}

impl Change {
    /// How much more the other row pays.
    pub(super) fn apart(&self) -> i64 {
        self.other - self.one
    }
}

/// The change between two columns in two rows; `None` if a pair is missing.
pub(super) fn change(rows: &impl Rows, [one, other]: [usize; 2], [left, right]: [usize; 2]) -> Option<Change> {
    let mut room = Vec::new();
    let mut of_row = |row| {
        let cells = rows.row(row, &mut room);
        (cells[left] != ABSENT && cells[right] != ABSENT).then(|| cells[right] - cells[left])
    };
    Some(Change { one: of_row(one)?, other: of_row(other)? })
}
