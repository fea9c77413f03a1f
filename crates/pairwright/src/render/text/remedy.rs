//! One thing to do where there is no plan.

use pairwright_engine::job::FitName;
use pairwright_engine::plan::{Culprit, Impossible, LimitState};

use super::english;
use super::figure;
use super::impossible::outward;
use super::limits::named;
use super::words::Words;

/// The one thing to do first, by what stands in the way.
pub(super) fn remedy(words: Words<'_>, why: &Impossible) -> String {
    None.or_else(|| read_more(words, why))
        .or_else(|| tie(why))
        .or_else(|| measure(words, why))
        .or_else(|| change_limit(words, why))
        .unwrap_or_else(|| other_parts(words, why))
}

/// Readings too coarse for the limits: take so many times as many.
fn read_more(words: Words<'_>, why: &Impossible) -> Option<String> {
    let times = why.too_coarse.iter().map(|one| one.repeats).collect::<Option<Vec<u32>>>()?;
    let most = times.into_iter().max().filter(|&times| times > 1)?;
    Some(format!(
        "Take every reading of {} {most} times over, setting up gauge and {} anew each time, and match again.",
        FitName::Deck.phrase(),
        words.kind()
    ))
}

fn tie(why: &Impossible) -> Option<String> {
    let untied = why.culprits.contains(&Culprit::Untied);
    untied.then(|| "Take the readings that tie everything together, listed under Readings, and match again.".to_owned())
}

/// A plan exists at face value: what is missing is certainty.
fn measure(words: Words<'_>, why: &Impossible) -> Option<String> {
    let limits = &why.nominal.as_ref()?.limits;
    let fits: Vec<FitName> =
        limits.iter().filter(|limit| limit.state == LimitState::Nominal).map(|limit| limit.fit).collect();
    let first = *fits.first()?;
    Some(if first == FitName::Deck {
        format!(
            "Repeat the readings of {}, so that its guard band shrinks, and match again.",
            words.positions(&tight(why))
        )
    } else {
        format!(
            "Measure what {} is made of more finely, type it with all its decimals and its uncertainty, and match again.",
            first.phrase()
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
        Culprit::Limit { fit, kind, enough: Some(ticks) } => Some(format!(
            "Find out from the manufacturer's figures or the rules whether the limit \"{}\" may be {} {}; if not, \
             bring another {} to choose from.",
            named(words, *fit, *kind),
            figure::at_least(*ticks, words.view.unit_of(*fit)),
            outward(*kind),
            words.kind()
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
