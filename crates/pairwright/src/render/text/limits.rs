//! Every limit with its state in words.

use pairwright_engine::job::{Bounding, FitName};
use pairwright_engine::plan::{LimitKind, LimitReport, LimitState, Plan};
use pairwright_engine::quantity::Amount;

use super::asked::glued;
use super::english::{self, GLUE, plural};
use super::figure;
use super::page::{Page, Tone};
use super::words::Words;

/// Writes the limits of a plan and the chance that all of them hold.
pub(super) fn limits(page: &mut Page, words: Words<'_>, plan: &Plan) {
    page.heading("Limits");
    if plan.limits.is_empty() {
        page.say("None were set: nothing here says that any clearance is enough.");
        return;
    }
    let (entries, own): (Vec<_>, Vec<_>) = plan.limits.iter().partition(|limit| is_entry(limit));
    for limit in own {
        let (tone, state) = state(limit.state);
        page.toned_item(tone, state, &one(words, limit));
    }
    let (held, open): (Vec<_>, Vec<_>) = entries.into_iter().partition(|limit| limit.state == LimitState::Held);
    if !held.is_empty() {
        let many = english::count(held.len(), "clearance");
        page.toned_item(Tone::Good, "held", &format!("{many} measured on the mock-up: see Clearances."));
    }
    for limit in open {
        let (tone, state) = state(limit.state);
        page.toned_item(tone, state, &one(words, limit));
    }
    if plan.limits.iter().any(|limit| limit.guard) {
        let risk = (words.view.job.risk * 1e6).round() / 1e4;
        page.say(&format!(
            "Held: inside by its guard band, so that the risk of a true value beyond the limit is at most \
             {risk}{GLUE}%, for each limit and {}.",
            words.view.position_kind()
        ));
        if words.view.job.uncertainty.is_empty() {
            page.say(
                "The job states no [uncertainty] of what was typed: of a typed value only its last digit counts in the guard band, and a gauge \
                 is seldom as good as that.",
            );
        }
    }
    if let Some(chance) = plan.chance_all_hold {
        let all = if plan.limits.len() == 1 { "the limit holds everywhere" } else { "all limits hold together" };
        page.say(&format!("Chance that {all}: {}.", figure::chance(chance)));
    }
}

/// Whether a limit holds an entry of the clearance ledger.
const fn is_entry(limit: &LimitReport) -> bool {
    matches!(limit.fit, FitName::Entry(_))
}

const fn state(state: LimitState) -> (Tone, &'static str) {
    match state {
        LimitState::Held => (Tone::Good, "held"),
        LimitState::Nominal => (Tone::Look, "nominal only"),
        LimitState::Broken => (Tone::Bad, "broken"),
    }
}

fn one(words: Words<'_>, limit: &LimitReport) -> String {
    let unit = words.view.unit_of(limit.fit);
    let typed = typed(words, limit.fit, limit.kind, limit.bound);
    let bound = bounded(words, limit.fit, limit.kind, &figure::bound(limit.fit, limit.bound, typed, unit));
    let own = if limit.by_position && !is_entry(limit) {
        format!(" (each {} has its own)", words.view.position_kind())
    } else {
        String::new()
    };
    let tightest = limit.tightest.map_or_else(String::new, |at| {
        let next = words.view.next_on_bank(at).filter(|_| limit.kind == LimitKind::Neighbours);
        match next {
            Some(next) => format!("tightest between {}, ", words.positions(&[at, next])),
            None => format!("tightest at {}, ", words.position(at)),
        }
    });
    let (margin, band) = figure::told_apart(limit.margin, figure::whole(limit.band), unit);
    let room = match limit.state {
        LimitState::Broken => format!("beyond by {margin}"),
        LimitState::Held | LimitState::Nominal if limit.margin == 0 => "exactly on the limit".to_owned(),
        LimitState::Held | LimitState::Nominal => format!("inside by {margin}"),
    };
    let guard = match (limit.guard, limit.state) {
        (false, _) => "uncertainty not counted, as the job asks".to_owned(),
        (true, LimitState::Nominal) => format!("but not by its guard band of {band}"),
        (true, _) => format!("guard band {band}"),
    };
    format!("{bound}{own}; {tightest}{room}, {guard}.")
}

/// A bound in a clause: `skirt clearance at least 0.0032 in`.
pub(super) fn bounded(words: Words<'_>, fit: FitName, kind: LimitKind, bound: &str) -> String {
    let phrase = words.phrase(fit);
    match (kind, fit) {
        (LimitKind::Spread, _) => format!("spread of {phrase} at most {}", bound.replace(&format!("{GLUE}above"), "")),
        (LimitKind::Neighbours, _) => {
            format!("difference of {phrase} between neighbours at most {}", bound.replace(&format!("{GLUE}above"), ""))
        }
        (LimitKind::Side(Bounding::Min), FitName::Deck) => format!("{phrase} no lower than {bound}"),
        (LimitKind::Side(Bounding::Max), FitName::Deck) => format!("{phrase} no higher than {bound}"),
        (LimitKind::Side(Bounding::Min), _) => format!("{phrase} at least {bound}"),
        (LimitKind::Side(Bounding::Max), _) => format!("{phrase} at most {bound}"),
    }
}

/// A limit by the bound that was asked for, or by its column: ``the `min_skirt` column of the cylinders``.
pub(super) fn named(words: Words<'_>, fit: FitName, kind: LimitKind) -> String {
    if let FitName::Entry(id) = fit {
        let minimum = words.view.job.ledger.get(id).map(|entry| entry.minimum);
        let least = minimum.map_or_else(String::new, |minimum| format!(" (at least {})", glued(minimum)));
        return format!("the measured clearance \"{}\"{least}", words.phrase(fit));
    }
    if let Some(bound) = asked(words, fit, kind).next() {
        let text = figure::bound(fit, bound.ticks(), Some(bound), words.view.unit_of(fit));
        return format!("the limit \"{}\"", bounded(words, fit, kind, &text));
    }
    let column = match kind {
        LimitKind::Spread => return format!("the limit on the spread of {}", words.phrase(fit)),
        LimitKind::Neighbours => return format!("the limit on neighbours' {}", words.phrase(fit)),
        LimitKind::Side(Bounding::Min) => "min",
        LimitKind::Side(Bounding::Max) => "max",
    };
    format!("the `{column}_{}` column of the {}", words.view.fit_name(fit), plural(words.view.position_kind()))
}

/// The bounds of a kind that the match asks for.
fn asked(words: Words<'_>, fit: FitName, kind: LimitKind) -> impl Iterator<Item = Amount> {
    words.view.matching.limits.iter().filter(move |limit| limit.fit == fit).filter_map(move |limit| match kind {
        LimitKind::Spread => limit.spread,
        LimitKind::Neighbours => limit.neighbours,
        LimitKind::Side(Bounding::Min) => limit.min,
        LimitKind::Side(Bounding::Max) => limit.max,
    })
}

/// The amount that somebody typed for this bound.
fn typed(words: Words<'_>, fit: FitName, kind: LimitKind, ticks: i64) -> Option<Amount> {
    let columns = words.view.positions().map(|positions| positions.limits.as_slice()).unwrap_or_default();
    let columns = columns
        .iter()
        .filter(|column| column.fit == fit && kind == LimitKind::Side(column.side))
        .flat_map(|column| column.values.iter().flatten().copied());
    asked(words, fit, kind).chain(columns).find(|amount| amount.ticks() == ticks)
}
