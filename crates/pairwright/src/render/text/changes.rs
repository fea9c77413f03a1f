//! What a what-if changes, in words.

use pairwright_engine::job::{BoundOf, Bounding, Change, Dish, FitName, Job, Pin, Scope, WhatIf};
use pairwright_engine::plan::LimitKind;
use pairwright_engine::quantity::Dimension;
use pairwright_engine::what_if::{Row, deck_cut};

use super::asked::{aim, glued, next};
use super::english::{GLUE, count, list};
use super::figure;
use super::limits::bounded;
use super::words::{Words, label};
use crate::render::compare::CompareView;
use crate::render::view::{View, unit_of};

/// Everything that a what-if changes: what it stacks, then its own changes in the order of the file.
pub(super) fn changed(compare: CompareView<'_>, row: &Row, what_if: &WhatIf) -> String {
    let stacked = what_if.with.iter().filter_map(|&at| compare.job.what_ifs.get(at));
    let mut all: Vec<String> = stacked.map(|below| format!("\"{}\"", label(&below.name))).collect();
    let changes = &what_if.changes;
    for (at, change) in changes.iter().enumerate() {
        // Chambers of one head that change alike are told together.
        let is_alike = |other: &&Change| alike(other, change);
        if !changes[..at].iter().any(|earlier| alike(earlier, change)) {
            all.extend(one(compare, row, change, changes.iter().filter(is_alike).count()));
        }
    }
    if all.is_empty() { "nothing".to_owned() } else { all.join("; ") }
}

/// Whether two changes are the same of two chambers of one head.
fn alike(one: &Change, other: &Change) -> bool {
    match (one, other) {
        (Change::Chamber { head: a, by: x, .. }, Change::Chamber { head: b, by: y, .. }) => (a, x) == (b, y),
        _ => false,
    }
}

/// One change; `together` chambers of a head change so.
fn one(compare: CompareView<'_>, row: &Row, change: &Change, together: usize) -> Option<String> {
    let job = compare.job;
    let part = |stock: usize, part: usize| {
        let stock = job.stocks.get(stock)?;
        Some(format!("{}{GLUE}{}", label(&stock.kind), label(&stock.parts.get(part)?.id)))
    };
    let length = |ticks: i64| figure::difference(ticks, job.units, job.units.usual_decimals());
    let bank = |bank: usize| job.banks.get(bank).map_or_else(String::new, |bank| label(&bank.name));
    Some(match change {
        Change::Fix { matching, pin } => fixed(View::of(job, *matching)?, *pin),
        Change::Swap { matching, role, banks } => {
            let view = View::of(job, *matching)?;
            format!("the {}s of {} and {} changed over", label(view.kind(*role)), bank(banks[0]), bank(banks[1]))
        }
        Change::Without { stock, part: index } => format!("without {}", part(*stock, *index)?),
        Change::Admit { stock, part: index } => format!("with {}", part(*stock, *index)?),
        Change::Add { stock, parts } => {
            format!("with {} more from {}", count(parts.parts.len(), &job.stocks.get(*stock)?.kind), label(&parts.file))
        }
        Change::CutDeck { bank: at, by } => format!("{} off the deck of {}", length(*by), bank(*at)),
        Change::SquareDeck { bank: at } => squared(job, row, *at, &bank(*at)),
        Change::CutCrown { piston, by, dish } => {
            let id = job.stock("piston")?.parts.get(*piston)?;
            let dish =
                if let Dish::Now(now) = dish { format!(", its dish then {}", glued(*now)) } else { String::new() };
            format!("{} off the crown of piston{GLUE}{}{dish}", length(*by), label(&id.id))
        }
        Change::Chamber { head, chamber, by } => chambers(job, *head, *by, (together <= 1).then_some(*chamber)),
        Change::Stroke(stroke) => format!("a stroke of {}", glued(*stroke)),
        Change::RodLength(rods) => format!("rods of {}", glued(*rods)),
        Change::LobeLift(lift) => format!("lobes of {}", glued(*lift)),
        Change::LobeLiftAt { position, lift } => {
            let home = job.stock("rocker").and_then(|stock| job.positions(stock.goes_to()))?;
            format!("a lobe of {} at {}{GLUE}{}", glued(*lift), label(&home.kind), label(home.label(*position)?))
        }
        Change::Bound { matching, fit, which, to } => {
            let words = Words::plain(View::of(job, *matching)?);
            let bound = figure::bound(*fit, to.ticks(), Some(*to), words.view.unit_of(*fit));
            bounded(words, *fit, kind(*which), &bound)
        }
        Change::Guard { fit, guard, .. } => guarded(job, *fit, *guard),
        Change::Aim { matching, .. } => aim(Words::plain(View::of(&row.job, *matching)?)),
        Change::Then { matching, .. } => {
            format!("between equals {}", next(Words::plain(View::of(&row.job, *matching)?)))
        }
    })
}

const fn kind(which: BoundOf) -> LimitKind {
    match which {
        BoundOf::Min => LimitKind::Side(Bounding::Min),
        BoundOf::Max => LimitKind::Side(Bounding::Max),
        BoundOf::Spread => LimitKind::Spread,
        BoundOf::Neighbours => LimitKind::Neighbours,
    }
}

fn guarded(job: &Job, fit: FitName, guard: bool) -> String {
    let how = if guard { "counted against" } else { "not counted in" };
    format!("the uncertainty {how} the limits on {}", job.fits.phrase(fit))
}

fn fixed(view: View<'_>, pin: Pin) -> String {
    let part = format!("{}{GLUE}{}", label(view.role_name(pin.role)), label(view.part(pin.role, pin.part)));
    let words = Words::plain(view);
    match view.matching.scope(view.kind(pin.role)) {
        Scope::Position => format!("{part} in {}", words.position(pin.position)),
        Scope::Bank => format!("{part} on {}", words.the_bank(pin.position)),
        Scope::Engine => part,
    }
}

/// How much comes off at every cylinder: whoever cuts the deck has to know.
fn squared(job: &Job, row: &Row, at: usize, bank: &str) -> String {
    let cylinders = job.banks.get(at).map_or(&[][..], |bank| &bank.cylinders);
    let label_of =
        |cylinder: usize| job.positions("cylinder").and_then(|all| all.label(cylinder)).map_or_else(String::new, label);
    let off = |&cylinder: &usize| {
        let size = figure::difference(deck_cut(job, &row.job, cylinder), job.units, job.units.usual_decimals());
        format!("{size}{GLUE}at{GLUE}{}", label_of(cylinder))
    };
    let cuts: Vec<String> = cylinders.iter().map(off).collect();
    format!("the deck of {bank} squared, {} off in all", list(&cuts))
}

/// One chamber of a head, or all that change so.
fn chambers(job: &Job, head: usize, by: i64, chamber: Option<usize>) -> String {
    let head =
        job.stock("head").and_then(|stock| stock.parts.get(head)).map_or_else(String::new, |part| label(&part.id));
    let unit = unit_of(job, Dimension::Volume);
    let size = figure::difference(by, unit, unit.usual_decimals());
    let way = if by < 0 { "smaller" } else { "larger" };
    match chamber {
        Some(chamber) => format!("chamber{GLUE}{} of head{GLUE}{head} {size} {way}", chamber + 1),
        None => format!("the chambers of head{GLUE}{head} {size} {way}"),
    }
}
