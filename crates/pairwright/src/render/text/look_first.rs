//! What to look at before building on a plan: doubts that change it, and parts it could not consider.

use pairwright_engine::explain::Explanation;
use pairwright_engine::readings::{Finding, Source};
use pairwright_engine::reduction::{PoursReport, ReadingsReport};

use super::english;
use super::page::Page;
use super::words::{Words, label};
use crate::render::view::lines_of;

/// What is known of how the job was measured.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known<'r> {
    pub(super) readings: Option<&'r ReadingsReport>,
    pub(super) pours: Option<&'r PoursReport>,
}

/// Writes, right under the answer, what the answer hangs on.
pub(super) fn look_first(page: &mut Page, words: Words<'_>, explanation: &Explanation, known: Known<'_>) {
    if let Some(odd) = odd_readings(words, explanation) {
        page.plain(&odd);
    }
    if !explanation.unread.is_empty() {
        let verb = if explanation.unread.len() == 1 { "is" } else { "are" };
        let who = english::sentence(&words.parts(&explanation.unread));
        page.plain(&format!("{who} {verb} not considered: no reading tells what to expect."));
    }
    if let Some(pours) = known.pours.filter(|_| words.view.places_settings()) {
        odd_pours(page, words, pours);
    }
    if known.readings.is_some_and(|known| is_unknown(known.repeatability.source)) {
        page.plain("Nothing says how well a reading repeats, so every interval of deck clearance here is too narrow.");
    }
}

const fn is_unknown(source: Source) -> bool {
    matches!(source, Source::ResolutionOnly | Source::Nothing)
}

/// Pours that disagree with the others of their chamber, and pours of which nothing says how well they repeat.
fn odd_pours(page: &mut Page, words: Words<'_>, pours: &PoursReport) {
    let odd = |finding: &&Finding| matches!(finding, Finding::Outlier { .. } | Finding::PairDisagrees { .. });
    let lines: Vec<u32> = pours.findings.iter().filter(odd).flat_map(lines_of).collect();
    let file = words.view.job.chambers.as_ref().map(|pours| label(&pours.file)).unwrap_or_default();
    if !lines.is_empty() {
        let verb = if lines.len() == 1 { "disagrees" } else { "disagree" };
        let which = english::sentence(&english::lines(&lines));
        page.plain(&format!(
            "{which} of {file} {verb} with the other pours of the chamber: pour it anew before you build."
        ));
    }
    if is_unknown(pours.repeatability.source) {
        page.plain("Nothing says how well a pour repeats, so every interval that hangs on a chamber is too narrow.");
    }
}

/// Readings that disagree with the others, and whether the plan hangs on them.
fn odd_readings(words: Words<'_>, explanation: &Explanation) -> Option<String> {
    let lines: Vec<u32> = explanation.flagged_out.iter().flat_map(|flagged| flagged.lines.iter().copied()).collect();
    if lines.is_empty() {
        return None;
    }
    let file = label(&words.view.job.deck.as_ref()?.file);
    let (verb, them) = if lines.len() == 1 { ("disagrees", "it") } else { ("disagree", "them") };
    let changes = explanation.flagged_out.iter().any(|flagged| flagged.parts.is_none() || !flagged.changed.is_empty());
    let so = if changes {
        "the plan hangs on it"
    } else {
        "the plan is the same either way, but every interval is wider for it"
    };
    let which = english::sentence(&english::lines(&lines));
    Some(format!("{which} of {file} {verb} with the other readings, and {so}: take {them} anew before you build."))
}
