//! What to look at again in the readings, one sentence a finding.

use pairwright_engine::job::FitName;
use pairwright_engine::readings::{Finding, Untied};

use super::english::{self, GLUE, lines};
use super::figure;
use super::words::label;
use crate::render::view::{Bench, lines_of};

/// The word in front and the sentence of a finding.
pub(super) fn finding(bench: Bench<'_>, finding: &Finding) -> (String, String) {
    let which = lines_of(finding);
    let word = match finding {
        Finding::LackOfFit { .. } => "sum of effects".to_owned(),
        Finding::ScatterAboveStated { .. } => "scatter".to_owned(),
        Finding::AllEqual { .. } => "no variation".to_owned(),
        Finding::LineNotDrawn { bank, .. } => format!("bank {}", label(bench.bank(bank.index()).unwrap_or("?"))),
        _ => lines(&which),
    };
    let text = match finding {
        Finding::AllEqual { .. }
        | Finding::LackOfFit { .. }
        | Finding::ScatterAboveStated { .. }
        | Finding::LineNotDrawn { .. } => of_the_whole(bench, finding),
        _ => of_some(bench, finding, which.first().copied()),
    };
    (word, text)
}

/// A finding about one or a few readings.
fn of_some(bench: Bench<'_>, finding: &Finding, first: Option<u32>) -> String {
    let place = first.and_then(|line| pair(bench, line)).map_or_else(String::new, |pair| format!("{pair}; "));
    match finding {
        Finding::Outlier { value: read, expected, others, .. } => {
            let say = match others {
                1 => "the other reading says".to_owned(),
                others => format!("the other {others} readings say"),
            };
            format!("{place}read {}, but {say} {}.", value(bench, *read), value(bench, *expected))
        }
        Finding::PairDisagrees { apart, .. } => {
            format!("{place}two repeats are {} apart, and nothing says which of them is wrong.", size(bench, *apart))
        }
        Finding::CircleDisagrees { off, .. } => format!(
            "they check each other in a circle and miss by {}: one of them is wrong, and nothing says which.",
            size(bench, *off)
        ),
        Finding::LeftOut { value: read, expected, .. } => {
            let says = expected.map_or_else(
                || "the readings used say nothing about it".to_owned(),
                |expected| format!("the readings used say {}", value(bench, expected)),
            );
            format!("{place}left out by the job; read {}, {says}.", value(bench, *read))
        }
        Finding::UnevenSpots { lines, apart } => {
            let read = if lines.len() == 1 { "read" } else { "each read" };
            let worth = apart.map_or_else(String::new, |apart| {
                format!(" Spots of one pair differ by up to {}.", size(bench, apart))
            });
            format!("{read} at fewer spots than others, so the mean is not the mean of the same thing.{worth}")
        }
        Finding::Unchecked { lines } if lines.len() == 1 => {
            "no other reading checks it: a slip there would not show.".to_owned()
        }
        Finding::Unchecked { .. } => "no other reading checks them: a slip in one would not show.".to_owned(),
        // A kind of finding that this version does not know: better named than hidden.
        _ => "there is a finding here that this version cannot put into words.".to_owned(),
    }
}

/// A finding about all the readings, or all those of a bank.
fn of_the_whole(bench: Bench<'_>, finding: &Finding) -> String {
    match finding {
        Finding::LackOfFit { p, part, position, lines: cell, off, .. } => format!(
            "piston and cylinder do not simply add up (chance of that by accident: {}); worst is piston{GLUE}{} in \
             cylinder{GLUE}{} ({}), {} from what the others say.",
            figure::chance(*p),
            label(bench.piston(part.index())),
            label(bench.position(position.index())),
            lines(cell),
            size(bench, *off)
        ),
        Finding::ScatterAboveStated { found, stated, p } => format!(
            "readings scatter by {}, while the stated repeatability gives {} (chance of that by accident: {}).",
            size(bench, *found),
            size(bench, *stated),
            figure::chance(*p)
        ),
        Finding::AllEqual { readings, value: read } => format!(
            "all {readings} readings are {}: equal readings are not certainty, so check that the gauge moves.",
            value(bench, *read)
        ),
        Finding::LineNotDrawn { measured, needed, .. } => {
            let were = if *measured == 1 { "was" } else { "were" };
            format!("{measured} of its positions {were} read; to draw the straight line of its deck takes {needed}.")
        }
        _ => String::new(),
    }
}

/// What cannot be predicted, and the readings that would change that.
pub(super) fn untied(bench: Bench<'_>, untied: &Untied) -> String {
    let positions: Vec<String> = untied.positions.iter().map(|id| label(bench.position(id.index()))).collect();
    let parts: Vec<String> = untied.parts.iter().map(|id| label(bench.piston(id.index()))).collect();
    let mut unread = Vec::new();
    for (kind, ids) in [("cylinder", &positions), ("piston", &parts)] {
        match ids.as_slice() {
            [] => {}
            [only] => unread.push(format!("{kind}{GLUE}{only}")),
            many => unread.push(format!("{} {}", english::plural(kind), english::short_list(many, 12))),
        }
    }
    let reach = match unread.as_slice() {
        [] => String::new(),
        some => format!("; no reading reaches {}", english::list(some)),
    };
    let pairs = match untied.pairs {
        1 => "one pair of piston and cylinder cannot be predicted".to_owned(),
        pairs => format!("{pairs} pairs of piston and cylinder cannot be predicted"),
    };
    let tie = |tie: &pairwright_engine::readings::Tie| {
        let (piston, cylinder) = (bench.piston(tie.part.index()), bench.position(tie.position.index()));
        format!("piston{GLUE}{} in cylinder{GLUE}{}", label(piston), label(cylinder))
    };
    let ties: Vec<String> = untied.ties.iter().map(tie).collect();
    let remedy = match ties.as_slice() {
        [] => String::new(),
        [only] => format!(" This reading ties everything together: {only}."),
        some => format!(" These readings tie everything together: {}.", english::short_list(some, 12)),
    };
    format!("{pairs}{reach}.{remedy}")
}

/// Where a reading was taken: `piston C in cylinder 3`.
fn pair(bench: Bench<'_>, line: u32) -> Option<String> {
    let row = bench.row(line)?;
    let (piston, cylinder) = (label(bench.piston(row.part)), label(bench.position(row.position)));
    Some(format!("piston{GLUE}{piston} in cylinder{GLUE}{cylinder}"))
}

fn value(bench: Bench<'_>, nm: f64) -> String {
    figure::full_value(FitName::Deck, figure::whole(nm), bench.job.units)
}

fn size(bench: Bench<'_>, nm: f64) -> String {
    let unit = bench.job.units;
    figure::difference(figure::whole(nm), unit, unit.usual_decimals())
}
