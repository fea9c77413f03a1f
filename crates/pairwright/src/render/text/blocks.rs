//! One block a position, for pages too narrow for a table.

use super::english::{GLUE, sentence};
use super::grid::Column;
use super::page::Page;

/// Writes every row as a block: `key` names it, the other columns follow line by line.
pub(super) fn blocks(page: &mut Page, key: &Column, groups: &[Vec<Column>]) {
    for (row, id) in key.cells.iter().enumerate() {
        page.gap();
        page.plain(&format!("{}{GLUE}{id}", sentence(&key.head)));
        for column in groups.iter().flatten() {
            if let Some(cell) = column.cells.get(row).filter(|cell| !cell.is_empty()) {
                page.hanging(&format!("{}: {cell}", column.head));
            }
        }
    }
}
