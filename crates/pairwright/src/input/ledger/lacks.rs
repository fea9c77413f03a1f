//! What an entry does not say and has to.

use pairwright_engine::job::{Clearance, Moves, VALVE};

use super::draft::EntryDraft;
use crate::diagnostic::{Code, Collector};
use crate::input::job_file::Section;
use crate::input::resolve::Names;

/// Reports everything without which an entry cannot be carried over; `true` where nothing is wanting.
pub(super) fn check(names: &Names<'_>, draft: &EntryDraft, entry: &Clearance, found: &mut Collector) -> bool {
    let mut lacks = |what: &str, help: &str| {
        let message = format!("{} does not say {what}", draft.called());
        found.push(draft.at.wrong(Code::ClearanceLacks, message).help(help));
    };
    let (follows, with) = (entry.moves.follows(), &entry.read_with);
    let has = |kind: &str| names.stock(kind).is_some();
    let hidden = names.draft.is_refused(Section::Stock);
    let mut sound = true;
    let mut want = |wanting: bool, what: &str, help: &str| {
        if wanting && !hidden {
            lacks(what, help);
            sound = false;
        }
    };
    if follows.deck || follows.gasket {
        want(entry.cylinder.is_none(), "at which cylinder it was read", "add `cylinder`");
    } else {
        let nowhere = entry.cylinder.is_none() && entry.valve.is_none();
        want(nowhere, "where it was read", "add `cylinder` or `valve`");
    }
    let piston = follows.deck && has("piston") && with.piston.is_none() && !draft.has("piston");
    want(piston, "with which piston it was read", "add `piston`: what is left hangs on how high it stood");
    let gasket = follows.gasket && has("gasket") && with.gasket.is_none() && !draft.has("gasket");
    want(gasket, "with which gasket it was read", "add `gasket`: what is left hangs on its thickness");
    let rod = follows.deck && with.rod.is_none() && !draft.has("rod");
    want(rod && rods_differ(names), "on which rod it was read", "add `rod`, since the rods differ in length");
    let added_up = rod && has_lengths(names) && !rods_differ(names) && names.deck.is_none();
    let alone = added_up && names.draft.engine.rod_length.is_none();
    want(alone, "on which rod it was read", "add `rod`: deck clearance is added up from its length");
    let lifted = with.lift.is_some() || with.rocker.is_some() || draft.has("lift") || draft.has("rocker");
    let lift = follows.lift && entry.valve.is_some() && lifts_are_planned(names) && !lifted;
    want(lift, "at which lift it was read", "add `rocker`, or `lift`: that of the valve at the top of its lobe");
    let there = with.lift_there.is_some() && !lifted;
    want(
        there,
        "the lift at the top of the lobe",
        "add `rocker` or `lift`: the extra lift at the angle follows from it",
    );
    let valve = with.rocker.is_some() && entry.valve.is_none() && !draft.has("valve");
    want(valve, "at which valve its rocker was", "add `valve`, or state the `lift` in place of the rocker");
    sound
}

/// Whether any rod has a length.
fn has_lengths(names: &Names<'_>) -> bool {
    names.stock("rod").is_some_and(|read| read.stock.columns.named("length").is_some())
}

/// Whether rods have lengths that differ.
fn rods_differ(names: &Names<'_>) -> bool {
    let lengths = names.stock("rod").and_then(|read| read.stock.columns.named("length"));
    let ticks = |column: &pairwright_engine::job::Column| -> Vec<_> {
        column.values.iter().map(|value| value.map(pairwright_engine::quantity::Amount::ticks)).collect()
    };
    lengths.map(ticks).is_some_and(|ticks| ticks.windows(2).any(|two| two[0] != two[1]))
}

/// Whether anything in the job says how far valves will lift.
fn lifts_are_planned(names: &Names<'_>) -> bool {
    let stated = names.sets.of(VALVE).is_some_and(|valves| valves.positions.columns.named("lift").is_some());
    stated || names.stock("rocker").is_some()
}

/// Whether the lift at the reading's crank angle may be more than that at the top, which no valve has.
pub(super) fn check_lifts(draft: &EntryDraft, entry: &Clearance, found: &mut Collector) -> bool {
    let (Some(there), Some(top)) = (entry.read_with.lift_there, entry.read_with.lift) else { return true };
    let Some(said) = draft.amount("lift_there") else { return true };
    if there.ticks() <= top.ticks() || !matches!(entry.moves, Moves::PistonToValve { .. } | Moves::Stated { .. }) {
        return true;
    }
    let message =
        format!("a lift of {there} at the crank angle of the reading is more than {top} at the top of the lobe");
    found.push(said.wrong(Code::ClearancePlace, message).help("swap the two, or correct one of them"));
    false
}
