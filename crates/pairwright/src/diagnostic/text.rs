//! Findings as text, with the line and a caret under the cell.

use annotate_snippets::{Annotation, AnnotationKind, Group, Level, Renderer, Snippet};

use super::{Diagnostic, Label, Severity, Source, Sources};

/// Places of one file further apart than this many bytes are shown as two excerpts.
const NEAR: usize = 4_000;

/// Renders `items` one after the other; `colour` only repeats what the words say.
///
/// Borders are ASCII. The text ends with a line break unless it is empty.
#[must_use]
pub fn render(items: &[Diagnostic], sources: &Sources, colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    items.iter().map(|item| renderer.render(&[group(item, sources)]) + "\n").collect::<Vec<_>>().join("\n")
}

fn group<'a>(item: &'a Diagnostic, sources: &'a Sources) -> Group<'a> {
    let level = match item.severity {
        Severity::Error => Level::ERROR,
        Severity::Warning => Level::WARNING,
        Severity::Note => Level::NOTE,
    };
    let mut group = Group::with_title(level.primary_title(item.message.as_str()).id(item.code.text()));
    let mut rest = item.labels.as_slice();
    let mut first = true;
    while let Some(label) = rest.first() {
        let together = 1 + rest[1..].iter().take_while(|other| near(label, other)).count();
        if let Some(source) = sources.named(&label.place.file) {
            group = group.element(excerpt(source, &rest[..together], first));
        }
        first = false;
        rest = &rest[together..];
    }
    if item.more > 0 {
        group = group.element(Level::NOTE.message(format!("and {} more like this in the same column", item.more)));
    }
    match &item.help {
        Some(help) => group.element(Level::HELP.message(help.as_str())),
        None => group,
    }
}

fn near(one: &Label, other: &Label) -> bool {
    one.place.file == other.place.file && one.place.span.start.abs_diff(other.place.span.start) < NEAR
}

/// The lines that hold all of `labels`, which are places in `source`.
fn excerpt<'a>(source: &'a Source, labels: &'a [Label], first: bool) -> Snippet<'a, Annotation<'a>> {
    let text = source.text();
    let start = labels.iter().map(|label| label.place.span.start).min().unwrap_or(0);
    let end = labels.iter().map(|label| label.place.span.end).max().unwrap_or(0);
    let line = labels.iter().map(|label| label.place.line).min().unwrap_or(1);
    let from = text[..start].rfind('\n').map_or(0, |at| at + 1);
    let to = text[end..].find('\n').map_or(text.len(), |at| end + at);
    let lines = text[from..to].strip_suffix('\r').unwrap_or(&text[from..to]);
    let annotations = labels.iter().enumerate().map(|(index, label)| {
        let kind = if first && index == 0 { AnnotationKind::Primary } else { AnnotationKind::Context };
        let span = &label.place.span;
        let inside = |at: usize| at.saturating_sub(from).min(lines.len());
        let annotation = kind.span(inside(span.start)..inside(span.end));
        if label.text.is_empty() { annotation } else { annotation.label(label.text.as_str()) }
    });
    Snippet::source(lines).line_start(line as usize).path(source.name()).annotations(annotations)
}
