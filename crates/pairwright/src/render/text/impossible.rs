//! Why there is no plan, and what would give one.

use pairwright_engine::job::Bounding;
use pairwright_engine::plan::{Culprit, Impossible, LimitKind, Setting, TooCoarse};
use pairwright_engine::quantity::Amount;
use pairwright_engine::reduction::ReadingsReport;

use super::english::{self, sentence};
use super::figure;
use super::limits::{self, named};
use super::page::{Page, Tone};
use super::placements::placements;
use super::remedy::remedy;
use super::shopping::money;
use super::words::{Words, label};

/// Writes why no plan holds every limit, the nominal plan as what it is, and one thing to do;
/// `readings` is what is known of the job's readings.
pub(super) fn impossible(page: &mut Page, words: Words<'_>, why: &Impossible, readings: Option<&ReadingsReport>) {
    page.verdict(Tone::Bad, "Impossible", &(in_one_line(words, why) + " " + &proof(why)));
    page.heading("Why there is no plan");
    if let Some(setting) = words.setting(&why.setting) {
        page.say(&if is_too_dear(why) {
            format!("The cheapest plan has {setting}.")
        } else {
            format!("Nearest to a plan comes {setting}; this is said of it.")
        });
    }
    page.say(&competing(words, why));
    for culprit in &why.culprits {
        page.item(&self::culprit(words, why, culprit));
    }
    if why.by_widest_band {
        page.say(
            "A limit on a spread was judged by the widest guard band that any two placements have; judged by its own, \
             some plan might hold it all the same.",
        );
    }
    coarse(page, words, &why.too_coarse);
    if let Some(plan) = &why.nominal {
        let words = Words::for_plan(words.view, &plan.summary);
        page.heading("At face value only");
        page.verdict(
            Tone::Bad,
            "Not a plan to build",
            "it holds only if the readings are taken at face value, as if nothing were uncertain.",
        );
        placements(page, words, plan, &[]);
        limits::limits(page, words, plan);
    }
    page.heading("What to do");
    page.say(&remedy(words, why, readings));
}

/// How far the proof reaches that was checked.
fn proof(why: &Impossible) -> String {
    let reach = why.no_plan.reach();
    match (reach.settings, reach.of) {
        _ if why.by_widest_band => String::from(
            "There is no proof: by its own guard band, not the widest, some plan might hold the limit on a spread.",
        ),
        (0, 1..) => String::from("No proof of that was found that the checker could follow: the search alone says so."),
        (proven, of) if proven < of => {
            format!(
                "The proof was checked and covers {proven} of {of} ways to set heads and gaskets; of the others the search \
                 alone says so."
            )
        }
        (_, 0 | 1) => String::from("The proof of that was checked."),
        (_, of) => format!("The proof was checked and covers all {of} ways to set heads and gaskets."),
    }
}

pub(super) fn in_one_line(words: Words<'_>, why: &Impossible) -> String {
    if is_too_dear(why) {
        return "no choice holds every limit for what may be spent.".to_owned();
    }
    let limited = why.culprits.iter().any(|culprit| matches!(culprit, Culprit::Limit { .. }));
    if !limited {
        let (parts, places) = (english::plural(&words.kind()), english::plural(words.view.position_kind()));
        return format!("there are not enough {parts} that may go where they are needed to fill all {places}.");
    }
    let counted = if why.nominal.is_some() { " with the uncertainty counted" } else { "" };
    format!("no choice holds every limit{counted}.")
}

fn competing(words: Words<'_>, why: &Impossible) -> String {
    let who = sentence(&words.positions(&why.positions));
    let verb = |one, many| if why.positions.len() == 1 { one } else { many };
    let between = verb("", " between them");
    if let Some(said) = several(words, why) {
        return said;
    }
    match why.parts.len() {
        _ if is_too_dear(why) => "There are plans within the limits, but none within the sum.".to_owned(),
        _ if why.positions.is_empty() => "No choice is left under all limits together.".to_owned(),
        // No shortage: what stands in the way is a limit on several positions at once.
        parts if parts >= why.positions.len() => {
            format!("No choice of {} for {} holds every limit together.", kinds(words), words.positions(&why.positions))
        }
        0 if limits_spread(why) => format!(
            "Where the limit on a spread comes closest to being held, {} {} no {} left.",
            words.positions(&why.positions),
            verb("has", "have"),
            words.kind()
        ),
        0 => format!("{who} {} no {} left that may go there.", verb("has", "have"), words.kind()),
        _ if limits_spread(why) => format!(
            "Where the limit on a spread comes closest to being held, {} {} only {}{between}.",
            words.positions(&why.positions),
            verb("has", "have"),
            words.parts(&why.parts)
        ),
        _ => format!("{who} {} only {}{between}.", verb("has", "have"), words.parts(&why.parts)),
    }
}

/// The same where a position takes several parts of one kind; `None` where it does not, or where there is enough of each.
fn several(words: Words<'_>, why: &Impossible) -> Option<String> {
    let (each, kinds) = (words.view.of_one_kind().len(), english::plural(&words.kind()));
    let wanted = each * why.positions.len();
    if each == 0 || wanted == 0 {
        return None;
    }
    let (who, places) = (sentence(&words.positions(&why.positions)), words.positions(&why.positions));
    Some(match (why.positions.len(), why.parts.len()) {
        (1, 0) => format!("{who} takes {each} {kinds}, and no {each} may go there together."),
        (_, have) if have < wanted => format!(
            "{who} {} {wanted} {kinds}{}, and only {} may go there.",
            if why.positions.len() == 1 { "takes" } else { "take" },
            if why.positions.len() == 1 { "" } else { " between them" },
            english::count(have, &words.kind())
        ),
        _ => format!(
            "No choice of {wanted} {kinds} for {places}, {each} to each, holds every limit together; {} may go to one or \
             another of them.",
            english::count(why.parts.len(), &words.kind())
        ),
    })
}

/// Whether there are plans within the limits that cost too much.
pub(super) fn is_too_dear(why: &Impossible) -> bool {
    why.culprits.iter().any(|culprit| matches!(culprit, Culprit::Spend { .. }))
}

/// The kinds chosen a position: `pistons and rods`.
fn kinds(words: Words<'_>) -> String {
    let second = words.view.second_kind().map(|kind| english::plural(&label(kind)));
    english::list(&[english::plural(&words.kind())].into_iter().chain(second).collect::<Vec<_>>())
}

/// Whether a limit on a spread is among the culprits: then the shortage is only one of many, that
/// of the window in which least is lacking.
fn limits_spread(why: &Impossible) -> bool {
    why.culprits.iter().any(|culprit| matches!(culprit, Culprit::Limit { kind: LimitKind::Spread, .. }))
}

fn culprit(words: Words<'_>, why: &Impossible, culprit: &Culprit) -> String {
    let others = english::plural(&words.kind());
    match culprit {
        Culprit::Limit { fit, kind, enough, setting } => {
            let with = with_setting(words, why, setting);
            let out = match kind {
                LimitKind::Spread | LimitKind::Neighbours => "leaves no room for a plan",
                LimitKind::Side(_) if is_too_dear(why) => "keeps cheaper parts out",
                LimitKind::Side(_) => "keeps others out",
            };
            let change = match enough {
                Some(ticks) => {
                    let size = figure::at_least(*ticks, words.view.unit_of(*fit));
                    format!("; {size} {} would be enough{with}, with nothing else changed", outward(*kind))
                }
                None => "; no change of it alone would be enough".to_owned(),
            };
            format!("{} {out}{change}.", sentence(&named(words, *fit, *kind)))
        }
        Culprit::Spend { least } => {
            let most = words.view.matching.buying.spend.map_or(0, Amount::ticks);
            format!(
                "The cheapest plan within the limits costs {}, and {} may be spent: {} more would be enough, with nothing else \
                 changed.",
                money(*least),
                money(most),
                money(least - most)
            )
        }
        Culprit::KeepOrBar => format!("Other {others} are kept elsewhere, or barred there, by `keep` and `bar`."),
        Culprit::Fits => format!("Other {others} may not go there by the `fits` column of their stock."),
        Culprit::Untied => {
            format!("For other {others} neither readings nor typed values say what they would give there.")
        }
    }
}

/// The heads and gaskets with which a change would be enough, where they are not those that everything is said of.
fn with_setting(words: Words<'_>, why: &Impossible, setting: &Setting) -> String {
    let clause = (*setting != why.setting).then(|| words.setting(setting)).flatten();
    clause.map_or_else(String::new, |clause| format!(" with {clause}"))
}

/// The way a bound moves to allow more.
pub(super) const fn outward(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::Side(Bounding::Min) => "lower",
        LimitKind::Side(Bounding::Max) => "higher",
        LimitKind::Spread | LimitKind::Neighbours => "wider",
    }
}

/// Writes limits whose guard bands are wider than the room between them, alike ones together.
fn coarse(page: &mut Page, words: Words<'_>, all: &[TooCoarse]) {
    let mut groups: Vec<(String, Vec<usize>)> = Vec::new();
    for one in all {
        let text = coarse_text(words, one);
        match groups.iter_mut().find(|(known, _)| *known == text) {
            Some((_, positions)) => positions.push(one.position),
            None => groups.push((text, vec![one.position])),
        }
    }
    for (text, positions) in groups {
        page.item(&format!("At {} {text}", words.positions(&positions)));
    }
}

fn coarse_text(words: Words<'_>, one: &TooCoarse) -> String {
    let unit = words.view.unit_of(one.fit);
    let (room, bands) = figure::told_apart(one.room, figure::whole(one.bands), unit);
    let known = format!(
        "{} is known too coarsely: only {room} lies between its least and its greatest allowed value, and the guard bands \
         take {bands} even at their smallest",
        words.phrase(one.fit)
    );
    match one.repeats {
        Some(1) | None => format!("{known}; more repeats alone would not do."),
        Some(repeats) => format!("{known}; {repeats} times as many readings would do."),
    }
}
