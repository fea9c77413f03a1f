//! What a little more of gasket, deck clearance or chamber would do.

use pairwright_engine::explain::{LittleMore, Lost, More};
use pairwright_engine::job::FitName;
use pairwright_engine::quantity::{Unit, exact_text};

use super::english::GLUE;
use super::figure;
use super::limits::named;
use super::page::Page;
use super::words::Words;

/// Writes what each would do to the plan as it stands.
pub(super) fn little_more(page: &mut Page, words: Words<'_>, all: &[LittleMore]) {
    if all.is_empty() {
        return;
    }
    page.heading("What a little more would do");
    page.say("The planned parts as they are, worked out anew; nothing is chosen again for it:");
    for one in all {
        page.item(&format!(
            "{}: {}{}.",
            what(words, one),
            aim(words, one),
            one.tightest.map_or_else(String::new, |lost| { tightest(words, lost) })
        ));
    }
    if let Some(lost) = all.iter().find_map(|one| one.tightest) {
        page.say(&format!(
            "The tightest of the limits that any of these moves is {}; it has {} of room, guard band taken off.",
            named(words, lost.fit, lost.kind),
            size(words, lost.fit, lost.room)
        ));
    }
}

fn what(words: Words<'_>, one: &LittleMore) -> String {
    let length = |decimals| format!("{}{GLUE}{}", exact_text(one.by, unit_of(words), decimals), unit_of(words));
    let decimals = match unit_of(words) {
        Unit::Inch => 3,
        Unit::Thou | Unit::Micrometre => 0,
        _ => 2,
    };
    match one.of {
        More::Gasket => format!("a gasket {} thicker", length(decimals)),
        More::Deck => format!("pistons {} higher over the deck", length(decimals)),
        More::Chamber => {
            let by = exact_text(one.by, Unit::CubicCentimetre, 1);
            format!("chambers {by}{GLUE}cc larger")
        }
    }
}

fn unit_of(words: Words<'_>) -> Unit {
    words.view.job.units
}

fn aim(words: Words<'_>, one: &LittleMore) -> String {
    let phrase = words.phrase(words.aim_fit());
    let mean = figure::whole(one.mean);
    let way = if mean < 0 { "lower" } else { "higher" };
    let mean = if mean == 0 { "the same".to_owned() } else { format!("{} {way}", words.difference(mean)) };
    let spread = match one.spread {
        0 => "its spread the same".to_owned(),
        more if more < 0 => format!("its spread {} less", words.difference(more)),
        more => format!("its spread {} more", words.difference(more)),
    };
    format!("{phrase} {mean} on the average, {spread}")
}

fn tightest(words: Words<'_>, lost: Lost) -> String {
    match lost.gains {
        0 => "; the tightest limit as it is".to_owned(),
        gains if gains < 0 => format!("; the tightest limit loses {}", size(words, lost.fit, gains)),
        gains => format!("; the tightest limit gains {}", size(words, lost.fit, gains)),
    }
}

fn size(words: Words<'_>, fit: FitName, ticks: i64) -> String {
    let unit = words.view.unit_of(fit);
    figure::difference(ticks, unit, unit.usual_decimals())
}
