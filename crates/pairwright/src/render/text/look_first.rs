//! What to look at before building on a plan: doubts that change it, and parts it could not consider.

use pairwright_engine::explain::Explanation;
use pairwright_engine::readings::Source;
use pairwright_engine::reduction::ReadingsReport;

use super::english;
use super::page::Page;
use super::words::{Words, label};

/// Writes, right under the answer, what the answer hangs on.
pub(super) fn look_first(page: &mut Page, words: Words<'_>, explanation: &Explanation, known: Option<&ReadingsReport>) {
    if let Some(odd) = odd_readings(words, explanation) {
        page.plain(&odd);
    }
    if !explanation.unread.is_empty() {
        let verb = if explanation.unread.len() == 1 { "is" } else { "are" };
        let who = english::sentence(&words.parts(&explanation.unread));
        page.plain(&format!("{who} {verb} not considered: no reading tells what to expect."));
    }
    let unknown =
        known.is_some_and(|known| matches!(known.repeatability.source, Source::ResolutionOnly | Source::Nothing));
    if unknown {
        page.plain("Nothing says how well a reading repeats, so every interval of deck clearance here is too narrow.");
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
