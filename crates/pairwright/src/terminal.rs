//! What the terminal can show.

use anstream::{AutoStream, ColorChoice};

use crate::args::{Look, When};

/// Columns where nothing says how wide the terminal is.
const USUAL_WIDTH: usize = 80;

/// What may be printed to one stream.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Terminal {
    /// Columns.
    pub width: usize,
    /// Whether colour may be used.
    pub color: bool,
    /// Whether only ASCII may be used.
    pub ascii: bool,
}

impl Terminal {
    /// Standard output as asked by `look`; `NO_COLOR`, `CLICOLOR_FORCE` and `TERM` are honoured.
    #[must_use]
    pub fn stdout(look: Look) -> Self {
        let choice = AutoStream::choice(&std::io::stdout());
        Self::judged(look, choice, terminal_size::terminal_size().map(|(width, _)| width.0))
    }

    /// Standard error as asked by `look`.
    #[must_use]
    pub fn stderr(look: Look) -> Self {
        let choice = AutoStream::choice(&std::io::stderr());
        Self::judged(look, choice, terminal_size::terminal_size_of(std::io::stderr()).map(|(width, _)| width.0))
    }

    fn judged(look: Look, choice: ColorChoice, measured: Option<u16>) -> Self {
        let color = match look.color {
            When::Auto => choice != ColorChoice::Never,
            When::Always => true,
            When::Never => false,
        };
        let columns =
            std::env::var("COLUMNS").ok().and_then(|columns| columns.parse().ok()).filter(|&columns| columns >= 20);
        let width = look.width.or(columns).or(measured).map_or(USUAL_WIDTH, usize::from);
        Self { width, color, ascii: !speaks_utf8() }
    }
}

/// Whether the locale is a UTF-8 one; unset is taken for plain ASCII.
fn speaks_utf8() -> bool {
    let set = ["LC_ALL", "LC_CTYPE", "LANG"].into_iter().filter_map(|name| std::env::var(name).ok());
    let locale = set.into_iter().find(|value| !value.is_empty()).unwrap_or_default().to_lowercase();
    locale.contains("utf-8") || locale.contains("utf8")
}
