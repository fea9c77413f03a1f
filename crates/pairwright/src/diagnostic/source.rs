//! The texts that were read, and places in them.

use std::ops::Range;
use std::sync::Arc;

/// A text that was read, by the name it is shown under.
#[derive(Clone, Debug)]
pub struct Source {
    name: String,
    text: String,
}

/// A stretch of a source, for people (line, column) and for programs (bytes).
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize)]
pub struct Place {
    /// The name the file is shown under.
    pub file: String,
    /// Line as an editor counts it, from 1.
    pub line: u32,
    /// Character of the line, from 1.
    pub column: u32,
    /// The bytes, from the start of the text (a byte order mark does not count).
    #[serde(skip)]
    pub span: Range<usize>,
}

/// All texts of a job, in the order in which they were read.
#[derive(Clone, Debug, Default)]
pub struct Sources(Vec<Arc<Source>>);

impl Source {
    /// A text and the name it is shown under; a leading byte order mark is passed over.
    #[must_use]
    pub fn new(name: String, mut text: String) -> Self {
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        Self { name, text }
    }

    /// The name it is shown under.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The text.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The place of `span`; counts lines from the start, so its cost grows with the text.
    ///
    /// ```
    /// use pairwright::diagnostic::Source;
    /// let source = Source::new("pistons.csv".into(), "id\nA\nB\n".into());
    /// let place = source.place(5..6);
    /// assert_eq!((place.line, place.column), (3, 1));
    /// ```
    #[must_use]
    pub fn place(&self, span: Range<usize>) -> Place {
        let line = 1 + self.text[..self.inside(span.start)].matches('\n').count();
        self.place_on(u32::try_from(line).unwrap_or(u32::MAX), span)
    }

    /// The place of `span`, which is known to start on `line`.
    pub(crate) fn place_on(&self, line: u32, span: Range<usize>) -> Place {
        let end = self.inside(span.end.max(span.start));
        let start = self.inside(span.start).min(end);
        let before = &self.text[..start];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let column = 1 + before[line_start..].chars().count();
        Place { file: self.name.clone(), line, column: u32::try_from(column).unwrap_or(u32::MAX), span: start..end }
    }

    /// The nearest character boundary at or before `at`.
    fn inside(&self, at: usize) -> usize {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        at
    }
}

impl Sources {
    /// Adds a text.
    pub(crate) fn add(&mut self, source: Source) -> Arc<Source> {
        let source = Arc::new(source);
        self.0.push(Arc::clone(&source));
        source
    }

    /// The text shown under `name`.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<&Source> {
        self.0.iter().map(Arc::as_ref).find(|source| source.name == name)
    }

    /// The place of `name` in the order of reading.
    pub(crate) fn rank(&self, name: &str) -> usize {
        self.0.iter().position(|source| source.name == name).unwrap_or(self.0.len())
    }

    /// All texts.
    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.0.iter().map(Arc::as_ref)
    }
}
