//! Columns set as tables, as many as the width asks for.

use comfy_table::{ColumnConstraint, ContentArrangement, LineStyle, Table, TableStyle, Width, presets};

use super::english::GLUE;
use super::wrap::columns;
use crate::render::Style;

/// One column: its head, and a cell for every row.
#[derive(Clone, Debug)]
pub(super) struct Column {
    pub(super) head: String,
    pub(super) cells: Vec<String>,
}

/// Blanks between two columns.
const GAP: usize = 2;

impl Column {
    pub(super) fn new(head: impl Into<String>, cells: Vec<String>) -> Self {
        Self { head: head.into(), cells }
    }

    /// The widest word that may not be broken.
    fn least(&self) -> usize {
        let words = |text: &String| text.split(' ').map(columns).max().unwrap_or(0);
        self.cells.iter().chain([&self.head]).map(words).max().unwrap_or(0)
    }

    /// The width at which no cell needs a second line.
    fn natural(&self) -> usize {
        self.cells.iter().map(|cell| columns(cell)).max().unwrap_or(0).max(self.least())
    }
}

/// Sets the columns as one table where that fits into the width; else a table for every group, and
/// where even that is too wide, as many as it takes. All of them begin with `key`. `None` where
/// not even two columns fit side by side.
pub(super) fn tables(key: &Column, groups: &[Vec<Column>], style: Style) -> Option<Vec<Vec<String>>> {
    let width = style.columns();
    if width < Style::NARROWEST_TABLE {
        return None;
    }
    let fits = |chunk: &[&Column]| needed(chunk, Column::least) <= width;
    let whole: Vec<&Column> = std::iter::once(key).chain(groups.iter().flatten()).collect();
    if fits(&whole) {
        return Some(vec![set(&whole, style)]);
    }
    let mut chunks = Vec::new();
    for group in groups.iter().filter(|group| !group.is_empty()) {
        let chunk: Vec<&Column> = std::iter::once(key).chain(group).collect();
        if fits(&chunk) { chunks.push(chunk) } else { chunks.extend(split(key, group, width)) }
    }
    chunks.iter().map(|chunk| fits(chunk).then(|| set(chunk, style))).collect()
}

/// Sets the groups side by side, as many in one table as the width takes, so that the columns of a group stay
/// together; a group that is too wide by itself is taken apart. `None` as for [`tables`].
pub(super) fn packed(key: &Column, groups: &[Vec<Column>], style: Style) -> Option<Vec<Vec<String>>> {
    let width = style.columns();
    if width < Style::NARROWEST_TABLE {
        return None;
    }
    let fits = |chunk: &[&Column]| needed(chunk, Column::least) <= width;
    let mut chunks: Vec<Vec<&Column>> = Vec::new();
    for group in groups.iter().filter(|group| !group.is_empty()) {
        let beside = chunks.last().map(|chunk| chunk.iter().copied().chain(group).collect::<Vec<_>>());
        let alone: Vec<&Column> = std::iter::once(key).chain(group).collect();
        match (beside.filter(|beside| fits(beside)), chunks.last_mut()) {
            (Some(beside), Some(last)) => *last = beside,
            _ if fits(&alone) => chunks.push(alone),
            _ => chunks.extend(split(key, group, width)),
        }
    }
    chunks.iter().map(|chunk| fits(chunk).then(|| set(chunk, style))).collect()
}

/// Whether the columns fit into the width as one table beside their key, or no table does.
pub(super) fn fits_beside(key: &Column, columns: &[Column], style: Style) -> bool {
    let whole: Vec<&Column> = std::iter::once(key).chain(columns).collect();
    style.columns() < Style::NARROWEST_TABLE || needed(&whole, Column::least) <= style.columns()
}

fn needed(chunk: &[&Column], of: fn(&Column) -> usize) -> usize {
    chunk.iter().map(|column| of(column)).sum::<usize>() + GAP * chunk.len().saturating_sub(1)
}

fn split<'c>(key: &'c Column, group: &'c [Column], width: usize) -> Vec<Vec<&'c Column>> {
    let mut chunks: Vec<Vec<&Column>> = Vec::new();
    for column in group {
        let fits = |chunk: &&mut Vec<&Column>| {
            let mut longer = (**chunk).clone();
            longer.push(column);
            needed(&longer, Column::natural) <= width
        };
        match chunks.last_mut().filter(fits) {
            Some(chunk) => chunk.push(column),
            None => chunks.push(vec![key, column]),
        }
    }
    chunks
}

/// Widths between the least and the natural ones that use up no more than the page has.
fn widths(chunk: &[&Column], width: usize) -> Vec<usize> {
    let mut widths: Vec<usize> = chunk.iter().map(|column| column.least()).collect();
    let mut spare = width.saturating_sub(needed(chunk, Column::least));
    let mut wanting: Vec<(usize, usize)> =
        chunk.iter().enumerate().map(|(index, column)| (column.natural() - widths[index], index)).collect();
    wanting.sort_unstable();
    // A column that cannot have all it wants gains nothing from a part of it.
    for (more, index) in wanting {
        if more <= spare {
            widths[index] += more;
            spare -= more;
        }
    }
    widths
}

fn set(chunk: &[&Column], style: Style) -> Vec<String> {
    let page = u16::try_from(style.columns()).unwrap_or(u16::MAX);
    let widths = widths(chunk, usize::from(page));
    let rows = chunk.iter().map(|column| column.cells.len()).max().unwrap_or(0);
    let mut table = Table::new();
    table.load_style(borders(style)).set_content_arrangement(ContentArrangement::Dynamic);
    table.set_width(page);
    table.set_header(chunk.iter().map(|column| column.head.as_str()));
    for row in 0..rows {
        table.add_row(chunk.iter().map(|column| column.cells.get(row).map_or("", String::as_str)));
    }
    let last = chunk.len().saturating_sub(1);
    for ((index, column), width) in table.column_iter_mut().enumerate().zip(widths) {
        let gap = if index == last { 0 } else { GAP };
        let total = u16::try_from(width + gap).unwrap_or(u16::MAX);
        column.set_padding((0, u16::try_from(gap).unwrap_or(0)));
        column.set_constraint(ColumnConstraint::Absolute(Width::Fixed(total)));
    }
    table.lines().map(|line| line.replace(GLUE, " ").trim_end().to_owned()).collect()
}

/// A rule under the heads and nothing else.
fn borders(style: Style) -> TableStyle {
    let fill = if style.ascii { '-' } else { '─' };
    presets::NOTHING.header_separator(LineStyle::none().fill(fill))
}
