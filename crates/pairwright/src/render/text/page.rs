//! The page that sections write to: headings, sentences, items, tables.

use anstyle::{AnsiColor, Effects, Style as Paint};

use super::english::GLUE;
use super::wrap::{columns, wrap};
use crate::render::Style;

/// What a word means, for the colour that repeats it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Tone {
    /// Nothing to worry about.
    Good,
    /// To be looked at.
    Look,
    /// Not to be built.
    Bad,
}

/// Text as it grows, kept to the style's width.
#[derive(Debug)]
pub(super) struct Page {
    style: Style,
    out: String,
}

const INDENT: &str = "  ";

impl Page {
    pub(super) fn new(style: Style) -> Self {
        Self { style, out: String::new() }
    }

    pub(super) fn style(&self) -> Style {
        self.style
    }

    /// The title over everything.
    pub(super) fn title(&mut self, text: &str) {
        self.underlined(text, '=');
    }

    /// The name over one match.
    pub(super) fn name(&mut self, text: &str) {
        self.gap();
        self.underlined(text, '-');
    }

    /// The heading of a section.
    pub(super) fn heading(&mut self, text: &str) {
        self.gap();
        for line in wrap(text, self.style.columns(), "", "") {
            let painted = self.paint(&line, bold());
            self.line(&painted);
        }
    }

    /// A paragraph from the left edge.
    pub(super) fn plain(&mut self, text: &str) {
        self.lines(wrap(text, self.style.columns(), "", ""));
    }

    /// A paragraph that opens with a word of some tone.
    pub(super) fn verdict(&mut self, tone: Tone, word: &str, text: &str) {
        self.toned(tone, word, text, "", "");
    }

    /// A paragraph of a section.
    pub(super) fn say(&mut self, text: &str) {
        self.lines(wrap(text, self.style.columns(), INDENT, INDENT));
    }

    /// A line of a block; what does not fit is set further in.
    pub(super) fn hanging(&mut self, text: &str) {
        self.lines(wrap(text, self.style.columns(), INDENT, "    "));
    }

    /// One of several things of a section.
    pub(super) fn item(&mut self, text: &str) {
        self.lines(wrap(text, self.style.columns(), "  - ", "    "));
    }

    /// One of several things, opening with a word of some tone.
    pub(super) fn toned_item(&mut self, tone: Tone, word: &str, text: &str) {
        self.toned(tone, word, text, "  - ", "    ");
    }

    /// One of several things behind a mark of its own, as `1.`; lines of the same thing that have
    /// no mark are set under it.
    pub(super) fn marked(&mut self, mark: &str, text: &str) {
        let first = format!("{INDENT}{mark:<3} ");
        let next = " ".repeat(columns(&first));
        self.lines(wrap(text, self.style.columns(), &first, &next));
    }

    /// Lines that are laid out already.
    pub(super) fn lines(&mut self, lines: Vec<String>) {
        for line in lines {
            self.line(&line);
        }
    }

    /// An empty line, unless one is there already.
    pub(super) fn gap(&mut self) {
        if !self.out.is_empty() && !self.out.ends_with("\n\n") {
            self.out.push('\n');
        }
    }

    /// The whole page.
    pub(super) fn into_text(self) -> String {
        self.out
    }

    fn underlined(&mut self, text: &str, mark: char) {
        let lines = wrap(text, self.style.columns(), "", "");
        let widest = lines.iter().map(|line| columns(line)).max().unwrap_or(0).min(self.style.columns());
        for line in lines {
            let painted = self.paint(&line, bold());
            self.line(&painted);
        }
        self.line(&mark.to_string().repeat(widest));
    }

    fn toned(&mut self, tone: Tone, word: &str, text: &str, first: &str, next: &str) {
        let word = format!("{}:", word.replace(' ', &GLUE.to_string()));
        let mut lines = wrap(&format!("{word} {text}"), self.style.columns(), first, next);
        if let Some(rest) = lines[0].strip_prefix(first).and_then(|line| line.strip_prefix(&word)) {
            lines[0] = format!("{first}{}{rest}", self.paint(&word, paint_of(tone)));
        }
        self.lines(lines);
    }

    fn paint(&self, text: &str, paint: Paint) -> String {
        if self.style.color { format!("{paint}{text}{paint:#}") } else { text.to_owned() }
    }

    fn line(&mut self, line: &str) {
        self.out.push_str(line.replace(GLUE, " ").trim_end());
        self.out.push('\n');
    }
}

fn bold() -> Paint {
    Paint::new().effects(Effects::BOLD)
}

fn paint_of(tone: Tone) -> Paint {
    bold().fg_color(Some(
        match tone {
            Tone::Good => AnsiColor::Green,
            Tone::Look => AnsiColor::Yellow,
            Tone::Bad => AnsiColor::Red,
        }
        .into(),
    ))
}
