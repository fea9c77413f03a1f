//! One thing to do where there is no plan.

use pairwright_engine::job::FitName;
use pairwright_engine::plan::{Culprit, Impossible, LimitState};
use pairwright_engine::readings::Finding;
use pairwright_engine::reduction::ReadingsReport;

use super::english;
use super::figure;
use super::impossible::outward;
use super::limits::named;
use super::shopping::money;
use super::words::{Words, label};
use crate::render::view::lines_of;

/// The one thing to do first, by what stands in the way.
pub(super) fn remedy(words: Words<'_>, why: &Impossible, readings: Option<&ReadingsReport>) -> String {
    None.or_else(|| spend_more(words, why))
        .or_else(|| look_again(words, why, readings))
        .or_else(|| read_more(words, why))
        .or_else(|| tie(words, why, readings.is_some_and(|readings| readings.untied.is_some())))
        .or_else(|| finer(words, why))
        .or_else(|| measure(words, why))
        .or_else(|| change_limit(words, why))
        .unwrap_or_else(|| other_parts(words, why))
}

/// There are plans, and they cost more than may be spent.
fn spend_more(words: Words<'_>, why: &Impossible) -> Option<String> {
    let least = why.culprits.iter().find_map(|culprit| match culprit {
        Culprit::Spend { least } => Some(*least),
        _ => None,
    })?;
    let or =
        change_limit(words, why).and_then(|change| change.strip_prefix("Find").map(|rest| format!("; or find{rest}")));
    Some(format!("Spend {}, or look for a cheaper offer{}", money(least), or.unwrap_or_else(|| ".".to_owned())))
}

/// A plan exists at face value, and readings that contradict the others widen every guard band of
/// deck clearance.
fn look_again(words: Words<'_>, why: &Impossible, readings: Option<&ReadingsReport>) -> Option<String> {
    let limits = &why.nominal.as_ref()?.limits;
    limits.iter().find(|limit| limit.state == LimitState::Nominal && limit.fit == FitName::Deck)?;
    let odd = |finding: &&Finding| matches!(finding, Finding::Outlier { .. } | Finding::PairDisagrees { .. });
    let lines: Vec<u32> = readings?.findings.iter().filter(odd).flat_map(lines_of).collect();
    if lines.is_empty() {
        return None;
    }
    let file = label(&words.view.job.deck.as_ref()?.file);
    let (verb, them) = if lines.len() == 1 { ("disagrees", "it") } else { ("disagree", "them") };
    let which = english::lines(&lines);
    Some(format!(
        "Look at {which} of {file} again, which {verb} with the other readings and so {widen} the guard bands; take \
         {them} anew, and match again.",
        widen = if lines.len() == 1 { "widens" } else { "widen" }
    ))
}

/// Readings too coarse for the limits: take so many times as many.
fn read_more(words: Words<'_>, why: &Impossible) -> Option<String> {
    let times = why.too_coarse.iter().map(|one| one.repeats).collect::<Option<Vec<u32>>>()?;
    let most = times.into_iter().max().filter(|&times| times > 1)?;
    Some(format!(
        "Take every reading of {} {most} times over, setting up gauge and {} anew each time, and match again.",
        words.phrase(FitName::Deck),
        words.kind()
    ))
}

/// Pairs that nothing says anything about: read them, or type what they lack.
fn tie(words: Words<'_>, why: &Impossible, untied: bool) -> Option<String> {
    let unknown = why.culprits.contains(&Culprit::Untied);
    unknown.then(|| {
        if untied {
            return "Take the readings listed under Readings as \"not tied\", and match again.".to_owned();
        }
        let (kind, places) = (words.kind(), words.positions(&why.positions));
        format!("Fill in what is not typed for {places}, or for a {kind} that may go there, and match again.")
    })
}

/// Limits closer together than the doubt of what is measured: no other part would help.
fn finer(words: Words<'_>, why: &Impossible) -> Option<String> {
    let fit = words.phrase(why.too_coarse.first()?.fit);
    Some(format!(
        "The least and the greatest {fit} allowed are closer together than the measurements can tell apart: measure \
         more finely and type every decimal, or widen the limit where the manufacturer's figures and the rules allow it."
    ))
}

/// A plan exists at face value: what is missing is certainty.
fn measure(words: Words<'_>, why: &Impossible) -> Option<String> {
    let limits = &why.nominal.as_ref()?.limits;
    let fits: Vec<FitName> =
        limits.iter().filter(|limit| limit.state == LimitState::Nominal).map(|limit| limit.fit).collect();
    let first = *fits.first()?;
    Some(if first == FitName::Deck {
        format!(
            "Repeat the readings of {}, so that the guard bands shrink, and match again.",
            words.positions(&tight(why))
        )
    } else {
        format!(
            "Measure what {} is made of more finely, type it with all its decimals and its uncertainty, and match \
             again.",
            words.phrase(first)
        )
    })
}

/// The tightest position of every limit that holds at face value only.
fn tight(why: &Impossible) -> Vec<usize> {
    let limits = why.nominal.iter().flat_map(|plan| &plan.limits);
    let mut positions: Vec<usize> =
        limits.filter(|limit| limit.state == LimitState::Nominal).filter_map(|limit| limit.tightest).collect();
    positions.sort_unstable();
    positions.dedup();
    positions
}

fn change_limit(words: Words<'_>, why: &Impossible) -> Option<String> {
    why.culprits.iter().find_map(|culprit| match culprit {
        Culprit::Limit { fit, kind, enough: Some(ticks), .. } => Some(format!(
            "Find out from the manufacturer's figures or the rules whether {} may be {} {}; if not, \
             bring another {} to choose from.",
            named(words, *fit, *kind),
            figure::at_least(*ticks, words.view.unit_of(*fit)),
            outward(*kind),
            any_kind(words)
        )),
        _ => None,
    })
}

fn other_parts(words: Words<'_>, why: &Impossible) -> String {
    let kind = words.kind();
    if why.culprits.contains(&Culprit::KeepOrBar) {
        return format!("Lift one of the `keep` or `bar` entries for {}.", words.positions(&why.positions));
    }
    if why.culprits.contains(&Culprit::Fits) {
        return format!("Let another {kind} go to {} (the `fits` column).", words.positions(&why.positions));
    }
    match why.positions.as_slice() {
        [] => format!("Bring more {} to choose from.", english::plural(&kind)),
        positions => format!("Bring another {kind} that may go to {}.", words.positions(positions)),
    }
}

/// `piston`, or with heads and gaskets to choose `piston, head or gasket`.
fn any_kind(words: Words<'_>) -> String {
    let place = &words.view.matching.place;
    let mut kinds: Vec<String> = place.iter().map(|role| label(&role.kind)).collect();
    kinds.dedup();
    match kinds.as_slice() {
        [first @ .., last] if !first.is_empty() => format!("{} or {last}", first.join(", ")),
        _ => words.kind(),
    }
}
