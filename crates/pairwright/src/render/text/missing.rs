//! What a match still needs before it can be tried.

use pairwright_engine::job::DeclaredFits;
use pairwright_engine::plan::Lack;

use super::page::{Page, Tone};
use super::words::free_text;

/// Writes what is missing and what to do.
pub(super) fn missing(page: &mut Page, fits: &DeclaredFits, lacks: &[Lack]) {
    page.verdict(Tone::Bad, "Missing", "the match cannot be tried yet.");
    for lack in lacks {
        page.item(&format!("{} needs {}.", super::english::sentence(fits.phrase(lack.fit)), free_text(&lack.what)));
    }
    page.heading("What to do");
    match lacks {
        [_] => page.say("Give that, and match again."),
        _ => page.say("Give these, and match again."),
    }
}
