//! What to look at before building on a plan: doubts that change it, and parts it could not consider.

use pairwright_engine::clearance::LedgerReport;
use pairwright_engine::explain::Flagged;
use pairwright_engine::job::FitName;
use pairwright_engine::outcome::Planned;
use pairwright_engine::readings::Source;
use pairwright_engine::reduction::{PoursReport, ReadingsReport};

use super::clearances::open_clearances;
use super::english;
use super::page::Page;
use super::words::{Words, label};

/// What is known of how the job was measured.
#[derive(Clone, Copy, Debug)]
pub(super) struct Known<'r> {
    pub(super) readings: Option<&'r ReadingsReport>,
    pub(super) pours: Option<&'r PoursReport>,
    pub(super) ledger: Option<&'r LedgerReport>,
}

/// Writes, right under the answer, what the answer hangs on.
pub(super) fn look_first(page: &mut Page, words: Words<'_>, planned: &Planned, known: Known<'_>) {
    let explanation = &planned.explanation;
    if let Some(ledger) = known.ledger {
        open_clearances(page, ledger);
    }
    for of in [Flagged::Reading, Flagged::Pour] {
        if let Some(odd) = odd(words, planned, of) {
            page.plain(&odd);
        }
    }
    if !explanation.unread.is_empty() {
        let verb = if explanation.unread.len() == 1 { "is" } else { "are" };
        let who = english::sentence(&words.parts(&explanation.unread));
        page.plain(&format!("{who} {verb} not considered: no reading tells what to expect."));
    }
    if let Some(pours) = known.pours.filter(|_| words.view.places_settings()) {
        unknown_pours(page, pours);
    }
    if known.readings.is_some_and(|known| is_unknown(known.repeatability.source)) {
        page.plain("Nothing says how well a reading repeats, so every interval of deck clearance here is too narrow.");
    }
}

const fn is_unknown(source: Source) -> bool {
    matches!(source, Source::ResolutionOnly | Source::Nothing)
}

/// Pours of which nothing says how well they repeat.
fn unknown_pours(page: &mut Page, pours: &PoursReport) {
    if is_unknown(pours.repeatability.source) {
        page.plain("Nothing says how well a pour repeats, so every interval that hangs on a chamber is too narrow.");
    }
}

/// Readings, or pours, that disagree with the others, and whether the plan hangs on them.
fn odd(words: Words<'_>, planned: &Planned, of: Flagged) -> Option<String> {
    let mine = || planned.explanation.flagged_out.iter().filter(|flagged| flagged.of == of);
    let lines: Vec<u32> = mine().flat_map(|flagged| flagged.lines.iter().copied()).collect();
    if lines.is_empty() {
        return None;
    }
    let file = label(words.view.file_of(of)?);
    let (verb, them) = if lines.len() == 1 { ("disagrees", "it") } else { ("disagree", "them") };
    let others = if of == Flagged::Pour { "pours of the chamber" } else { "readings" };
    let so = if mine().all(|flagged| flagged.same_plan) {
        let others = words.other_fits(&planned.plan.placements);
        if others.into_iter().chain([words.aim_fit()]).any(|fit| follows(fit, of)) {
            "the plan is the same either way, but every interval is wider for it"
        } else {
            "the plan is the same either way"
        }
    } else {
        "the plan hangs on it"
    };
    let which = english::sentence(&english::lines(&lines));
    Some(format!("{which} of {file} {verb} with the other {others}, and {so}: take {them} anew before you build."))
}

/// Whether the values of a fit hang on deck readings, or on pours.
const fn follows(fit: FitName, of: Flagged) -> bool {
    match fit {
        FitName::ClearanceVolume | FitName::Compression => true,
        FitName::Deck | FitName::PistonToHead | FitName::Entry(_) => matches!(of, Flagged::Reading),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mass_hangs_on_no_reading() {
        assert!(!follows(FitName::Mass, Flagged::Reading) && !follows(FitName::Skirt, Flagged::Reading));
        assert!(follows(FitName::Deck, Flagged::Reading) && !follows(FitName::Deck, Flagged::Pour));
        assert!(follows(FitName::Compression, Flagged::Reading) && follows(FitName::Compression, Flagged::Pour));
    }
}
