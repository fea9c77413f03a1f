//! What the place where text is shown can do.

/// What the place where text is shown can do.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Style {
    /// Columns of text; less than [`Style::NARROWEST`] counts as that.
    pub width: usize,
    /// Whether escape sequences for colour may be written. Colour only repeats what a word says.
    pub color: bool,
    /// Whether everything but the user's own labels keeps to ASCII.
    pub ascii: bool,
}

impl Style {
    /// Narrower than this nothing can be set.
    pub const NARROWEST: usize = 24;

    /// Under this width a table gives way to one block a position.
    pub const NARROWEST_TABLE: usize = 60;

    /// The width that is kept to.
    #[must_use]
    pub fn columns(self) -> usize {
        self.width.max(Self::NARROWEST)
    }
}

impl Default for Style {
    /// 80 columns, no colour, ASCII: right for any pipe.
    fn default() -> Self {
        Self { width: 80, color: false, ascii: true }
    }
}
