//! Where an entry was read, and with which parts.

use pairwright_engine::job::{CYLINDER, VALVE};

use super::draft::{EntryDraft, Said};
use crate::diagnostic::{Code, Collector, Diagnostic};
use crate::input::job_file::Section;
use crate::input::positions::PositionsRead;
use crate::input::resolve::Names;
use crate::input::stock::unknown_part;

/// Indices of the cylinder and the valve of an entry; `None` after a report, or where one may only be hidden by another
/// mistake.
pub(super) fn place(
    names: &Names<'_>,
    entry: &EntryDraft,
    found: &mut Collector,
) -> Option<(Option<usize>, Option<usize>)> {
    if ["cylinder", "valve"].iter().any(|key| entry.refused.contains(key)) {
        return None;
    }
    let valve = match entry.text("valve") {
        Some(said) => Some(position(names, said, VALVE, found)?),
        None => None,
    };
    let own = match entry.text("cylinder") {
        Some(said) => Some(position(names, said, CYLINDER, found)?),
        None => None,
    };
    let column = match valve {
        Some(valve) => cylinder_of(names, valve, found)?,
        None => None,
    };
    if let (Some(said), Some(own), Some(column)) = (entry.text("cylinder"), own, column)
        && own != column
    {
        let label = |at: usize| names.cylinders.positions.label(at).unwrap_or_default().to_owned();
        let valve = entry.text("valve").map_or("", |said| said.value.as_str());
        let message = format!("valve `{valve}` is one of cylinder `{}`, and this says `{}`", label(column), said.value);
        found.push(said.wrong(Code::ClearancePlace, message).help("correct one of the two, or take `cylinder` out"));
        return None;
    }
    Some((own.or(column), valve))
}

fn position(names: &Names<'_>, said: &Said<String>, kind: &str, found: &mut Collector) -> Option<usize> {
    let Some(read) = names.sets.of(kind).filter(|read| !read.positions.is_empty() || read.is_given()) else {
        if !names.draft.is_refused(Section::Positions) && !names.draft.is_refused(Section::Banks) {
            let help = if kind == VALVE {
                "name the cylinder, and put the valve into the name; or add `valve = \"valves.csv\"` under `[positions]`"
            } else {
                "add `[banks]` with a list for each bank"
            };
            found.push(said.wrong(Code::PositionUnknown, format!("the job has no {kind}s")).help(help));
        }
        return None;
    };
    let at = read.places.positions.get(&said.value).copied();
    if at.is_none() && read.places.trusted {
        let message = format!("there is no {kind} `{}`", said.value);
        found.push(said.wrong(Code::PositionUnknown, message).help(read.places.positions_are()));
    }
    at
}

/// The cylinder that the valves' file names for a valve; the outer `None` after a report.
#[expect(clippy::option_option, reason = "none named is another thing than a wrong one")]
fn cylinder_of(names: &Names<'_>, valve: usize, found: &mut Collector) -> Option<Option<usize>> {
    let Some(valves) = names.sets.of(VALVE) else { return Some(None) };
    let Some(label) = valves.words(CYLINDER).and_then(|words| words.get(valve)?.as_ref()) else { return Some(None) };
    if names.cylinders.positions.is_empty() {
        return Some(None);
    }
    let at = names.cylinders.places.positions.get(label).copied();
    if at.is_none() && names.cylinders.places.trusted {
        found.push(unknown_cylinder(names, valves, valve, label));
    }
    at.map(Some)
}

fn unknown_cylinder(names: &Names<'_>, valves: &PositionsRead, valve: usize, label: &str) -> Diagnostic {
    let item = Diagnostic::wrong(Code::PositionUnknown, format!("there is no cylinder `{label}`"))
        .help(names.cylinders.places.positions_are());
    match (&valves.grid, valves.rows.get(valve).copied().flatten()) {
        (Some(grid), Some(row)) => item.at(grid.place(row, "id"), "the row of this valve").in_cell(CYLINDER),
        _ => item.at(names.job.place(0..0), ""),
    }
}

/// The index of a part that an entry was read with; the outer `None` after a report.
#[expect(clippy::option_option, reason = "none named is another thing than one that is not there")]
pub(super) fn part(names: &Names<'_>, entry: &EntryDraft, kind: &str, found: &mut Collector) -> Option<Option<usize>> {
    let Some(said) = entry.text(kind) else { return Some(None) };
    let Some(ids) = names.ids(kind) else {
        if !names.draft.is_refused(Section::Stock) {
            let message = format!("there is no stock that `{}` could be in", said.value);
            let help = format!("add `{kind} = \"{kind}s.csv\"` under `[stock]`, the part it was read with included");
            found.push(said.wrong(Code::PartUnknown, message).help(help));
        }
        return None;
    };
    let at = ids.find(&said.value);
    if at.is_none() && ids.trusted {
        let item = unknown_part(ids, &said.value).at(said.place.clone(), "");
        found.push(match &said.cell {
            Some(cell) => item.in_cell(cell.as_str()),
            None => item,
        });
    }
    at.map(Some)
}
