//! CSV text to rows: what separates the columns, where each row starts.

use std::ops::Range;

use csv::{ReaderBuilder, StringRecord};

use crate::diagnostic::{Code, Collector, Diagnostic, Place, Source};

/// A CSV text whose header has been read.
#[derive(Debug)]
pub(super) struct Table<'s> {
    pub(super) source: &'s Source,
    pub(super) separator: Separator,
    pub(super) header: Vec<Heading>,
    /// Line of the header.
    pub(super) line: u32,
    /// How many line breaks there are, which is about the number of rows; for making room.
    pub(super) lines: usize,
    /// Where an opening quote is never closed, if one is not.
    pub(super) open_quote: Option<usize>,
}

/// A header cell.
#[derive(Clone, Debug)]
pub(super) struct Heading {
    /// As typed, without blanks around it.
    pub(super) text: String,
    pub(super) span: Range<usize>,
}

/// What stands between two cells.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Separator {
    Comma,
    Semicolon,
    Tab,
}

impl Separator {
    pub(super) const ALL: [Self; 3] = [Self::Comma, Self::Semicolon, Self::Tab];

    pub(super) const fn byte(self) -> u8 {
        match self {
            Self::Comma => b',',
            Self::Semicolon => b';',
            Self::Tab => b'\t',
        }
    }

    pub(super) const fn word(self) -> &'static str {
        match self {
            Self::Comma => "commas",
            Self::Semicolon => "semicolons",
            Self::Tab => "tabs",
        }
    }
}

/// The rows of a table, one at a time.
pub(super) struct Rows<'s> {
    source: &'s Source,
    separator: Separator,
    reader: csv::Reader<&'s [u8]>,
    record: StringRecord,
    start: usize,
    line: u32,
    /// The row that holds this quote swallows the rest of the text.
    open_quote: Option<usize>,
}

/// One row.
#[derive(Clone, Copy)]
pub(super) struct Row<'r> {
    cells: &'r StringRecord,
    source: &'r Source,
    separator: Separator,
    /// Byte at which it starts.
    pub(super) start: usize,
    /// Line on which it starts.
    pub(super) line: u32,
}

impl<'s> Table<'s> {
    /// Reads the header with `separator`. The source holds at least one line that is not blank.
    pub(super) fn open(source: &'s Source, separator: Separator) -> Self {
        let open_quote = open_quote(source.text(), separator);
        let lines = source.text().matches('\n').count();
        let mut table = Self { source, separator, header: Vec::new(), line: 1, lines, open_quote };
        let mut rows = table.rows();
        if rows.advance() {
            let row = rows.row();
            let cells = 0..row.len();
            table.line = row.line;
            table.header = cells.map(|at| Heading { text: row.cell(at).to_owned(), span: row.span(at) }).collect();
        }
        table
    }

    /// The rows; the first is the header.
    pub(super) fn rows(&self) -> Rows<'s> {
        let text = self.source.text();
        let reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(self.separator.byte())
            .from_reader(text.as_bytes());
        Rows {
            source: self.source,
            separator: self.separator,
            reader,
            record: StringRecord::new(),
            start: 0,
            line: 1,
            open_quote: self.open_quote,
        }
    }

    /// The place of cell `column` in the row of `source` that starts at byte `start`.
    pub(super) fn place_in(source: &Source, separator: Separator, start: usize, line: u32, column: usize) -> Place {
        place_in_row(source, start, line, cell_span(source.text(), start, separator, column))
    }

    /// The place of a header cell.
    pub(super) fn heading_place(&self, column: usize) -> Place {
        let start = self.header.first().map_or(0, |first| first.span.start);
        place_in_row(self.source, start, self.line, self.header[column].span.clone())
    }

    /// Reports a quote that swallows the rest of the file.
    pub(super) fn check_open_quote(&self, found: &mut Collector) {
        let Some(at) = self.open_quote else { return };
        let item =
            Diagnostic::wrong(Code::CsvOpenQuote, "this quote is never closed and swallows the rest of the file")
                .at(self.source.place(at..at + 1), "opened here")
                .help("close the cell with a second quote, or remove this one");
        found.push(item);
    }
}

impl Rows<'_> {
    /// Moves to the next row that is not blank; `false` at the end.
    pub(super) fn advance(&mut self) -> bool {
        loop {
            // The text was checked to be UTF-8 and rows may have any length, so reading cannot fail.
            if !matches!(self.reader.read_record(&mut self.record), Ok(true)) {
                return false;
            }
            let text = self.source.text().as_bytes();
            let Some(position) = self.record.position() else { return false };
            // The reader stops after a CR and has not yet passed over the LF and blank lines behind it.
            let mut line = position.line();
            let mut start = usize::try_from(position.byte()).unwrap_or(text.len());
            while let Some(b'\r' | b'\n') = text.get(start) {
                line += u64::from(text[start] == b'\n');
                start += 1;
            }
            (self.start, self.line) = (start, u32::try_from(line).unwrap_or(u32::MAX));
            let end = usize::try_from(self.reader.position().byte()).unwrap_or(text.len());
            if self.open_quote.is_some_and(|quote| quote < end) {
                return false;
            }
            if self.record.iter().any(|cell| !cell.trim().is_empty()) {
                return true;
            }
        }
    }

    /// The row moved to.
    pub(super) fn row(&self) -> Row<'_> {
        Row { cells: &self.record, source: self.source, separator: self.separator, start: self.start, line: self.line }
    }
}

impl<'r> Row<'r> {
    pub(super) fn len(&self) -> usize {
        self.cells.len()
    }

    /// The text of a cell without blanks around it; empty past the end.
    pub(super) fn cell(&self, column: usize) -> &'r str {
        let cell = self.cells.get(column).unwrap_or("");
        match cell.as_bytes() {
            // Most cells have nothing to trim.
            [first, .., last] if first.is_ascii_graphic() && last.is_ascii_graphic() => cell,
            _ => cell.trim(),
        }
    }

    pub(super) fn span(&self, column: usize) -> Range<usize> {
        cell_span(self.source.text(), self.start, self.separator, column)
    }

    pub(super) fn place(&self, column: usize) -> Place {
        self.place_of(self.span(column))
    }

    /// The place of a stretch of the row.
    pub(super) fn place_of(&self, span: Range<usize>) -> Place {
        place_in_row(self.source, self.start, self.line, span)
    }
}

/// The place of `span` in the row that starts at byte `start` on `line`; a cell before it may run
/// over several lines.
fn place_in_row(source: &Source, start: usize, line: u32, span: Range<usize>) -> Place {
    let breaks = source.text().get(start..span.start).map_or(0, |before| before.matches('\n').count());
    source.place_on(line.saturating_add(u32::try_from(breaks).unwrap_or(u32::MAX)), span)
}

/// Where cell `column` of the row that starts at `start` stands, without blanks around it; the end
/// of the row where there is no such cell.
fn cell_span(text: &str, start: usize, separator: Separator, column: usize) -> Range<usize> {
    let mut at = start;
    for _ in 0..column {
        let end = cell_end(text.as_bytes(), at, separator);
        if text.as_bytes().get(end) != Some(&separator.byte()) {
            return end..end;
        }
        at = end + 1;
    }
    let end = cell_end(text.as_bytes(), at, separator);
    let cell = &text[at..end];
    let blank = cell.len() - cell.trim_start().len();
    at + blank..at + blank + cell.trim().len()
}

/// Where the cell that starts at `at` ends: at a separator, a line break or the end of the text.
fn cell_end(text: &[u8], at: usize, separator: Separator) -> usize {
    let mut quoted = text.get(at) == Some(&b'"');
    let mut end = at + usize::from(quoted);
    while let Some(&byte) = text.get(end) {
        if quoted {
            quoted = byte != b'"' || text.get(end + 1) == Some(&b'"');
            end += usize::from(byte == b'"' && quoted);
        } else if byte == separator.byte() || byte == b'\n' || byte == b'\r' {
            break;
        }
        end += 1;
    }
    end.min(text.len())
}

/// The opening quote of the text's last cell, if that cell is still open at the end.
fn open_quote(text: &str, separator: Separator) -> Option<usize> {
    let bytes = text.as_bytes();
    if !bytes.contains(&b'"') {
        return None;
    }
    let (mut at, mut inside, mut opened, mut cell_starts) = (0, false, 0, true);
    while let Some(&byte) = bytes.get(at) {
        if inside {
            if byte == b'"' && bytes.get(at + 1) == Some(&b'"') {
                at += 1;
            } else if byte == b'"' {
                inside = false;
            }
        } else if byte == b'"' && cell_starts {
            (inside, opened) = (true, at);
        }
        cell_starts = !inside && (byte == separator.byte() || byte == b'\n' || byte == b'\r');
        at += 1;
    }
    inside.then_some(opened)
}

#[cfg(test)]
mod tests;
