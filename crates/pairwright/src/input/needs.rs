//! What a match still lacks: sound input that does not say enough.

use std::ops::Range;

use pairwright_engine::job::{FitName, Next};

use crate::diagnostic::{Code, Collector, Diagnostic, Place};

use super::grid::Grid;
use super::job_file::Section;
use super::resolve::{Names, Resolved};
use super::stock::StockRead;

/// Who wants a value, for the second label.
struct Wanted {
    place: Place,
    why: String,
}

/// Everything that `resolved` lacks.
pub(super) fn of_match(names: &Names<'_>, resolved: &Resolved<'_>) -> Collector {
    let mut found = Collector::default();
    for role in &resolved.matching.place {
        let Some(read) = names.stock(&role.kind) else { continue };
        let Some(grid) = &read.grid else { continue };
        for fit in FitName::ALL {
            let Some(wanted) = who_wants(names, resolved, fit) else { continue };
            match fit {
                FitName::Deck => readings(names, &wanted, &mut found),
                FitName::Skirt => {
                    bores(names, &wanted, &mut found);
                    cells(read, grid, "diameter", "diameter_mm", &wanted, &mut found);
                }
                FitName::Mass => cells(read, grid, "mass", "mass_g", &wanted, &mut found),
                FitName::PistonToHead | FitName::ClearanceVolume | FitName::Compression => {}
            }
        }
        nexts(names, resolved, read, grid, &mut found);
        enough_parts(names, resolved, read, &mut found);
    }
    found
}

/// The first place that asks for `fit`: the aim, what follows it, a limit, a limit column.
fn who_wants(names: &Names<'_>, resolved: &Resolved<'_>, fit: FitName) -> Option<Wanted> {
    let draft = resolved.draft;
    let at = |span: &Range<usize>, why: &str| {
        Some(Wanted { place: names.job.place(span.clone()), why: format!("{why} {}", fit.phrase()) })
    };
    if let Some(aim) = draft.aim.as_ref().filter(|aim| aim.value.fit == fit) {
        return at(&aim.span, "the aim is");
    }
    let next = draft.then.iter().flatten().find(|next| next.value == Next::Spread(fit));
    if let Some(next) = next {
        return at(&next.span, "the next aim is");
    }
    if let Some(limit) = draft.limits.iter().find(|limit| limit.asked.fit == fit) {
        return at(&limit.span, "a limit bounds");
    }
    let cylinders = names.cylinders;
    let limit =
        cylinders.positions.limits.iter().find(|limit| limit.fit == fit && limit.values.iter().any(Option::is_some));
    let grid = cylinders.grid.as_ref().filter(|_| limit.is_some())?;
    Some(Wanted { place: grid.header_place(), why: format!("a column bounds {}", fit.phrase()) })
}

fn readings(names: &Names<'_>, wanted: &Wanted, found: &mut Collector) {
    if names.draft.deck.is_some() || names.draft.is_refused(Section::Readings) {
        return;
    }
    let item = Diagnostic::missing(Code::NeedReadings, "there are no readings of deck clearance")
        .at(wanted.place.clone(), wanted.why.clone())
        .help("take dial readings and name their file under `[readings]`: `deck = \"deck-readings.csv\"`");
    found.push(item);
}

fn bores(names: &Names<'_>, wanted: &Wanted, found: &mut Collector) {
    let cylinders = names.cylinders;
    let Some(grid) = cylinders.grid.as_ref().filter(|grid| grid.has("bore")) else {
        let refused = names.draft.is_refused(Section::Engine) || names.draft.is_refused(Section::Positions);
        let unreadable = names.draft.positions.is_some() && cylinders.grid.is_none();
        let hidden = cylinders.grid.as_ref().is_some_and(Grid::has_refused);
        if names.draft.engine.bore.is_none() && !refused && !unreadable && !hidden {
            let item = Diagnostic::missing(Code::NeedColumn, "the bores are not known")
                .at(wanted.place.clone(), wanted.why.clone())
                .help("add a column `bore` to the cylinders file, or `bore` under `[engine]`");
            found.push(item);
        }
        return;
    };
    for (position, row) in cylinders.rows.iter().enumerate() {
        let Some(row) = *row else { continue };
        if cylinders.positions.columns.value("bore", position).is_none() && !grid.is_bad(row, "bore") {
            let id = &cylinders.positions.ids[position];
            let item = Diagnostic::missing(Code::NeedCell, format!("the bore of cylinder `{id}` is not known"))
                .at(grid.place(row, "bore"), "")
                .at(wanted.place.clone(), wanted.why.clone())
                .help("measure it and fill the cell");
            found.push(item.in_cell("bore"));
        }
    }
}

/// Reports the parts of a stock that may be placed and lack a value.
fn cells(read: &StockRead, grid: &Grid, name: &'static str, header: &str, wanted: &Wanted, found: &mut Collector) {
    if !grid.has(name) {
        if grid.has_refused() {
            return;
        }
        let kind = &read.stock.kind;
        let what = if name == "price" { "write down what each costs" } else { "measure each of them" };
        let item = Diagnostic::missing(Code::NeedColumn, format!("the {kind} stock has no column `{name}`"))
            .at(wanted.place.clone(), wanted.why.clone())
            .at(grid.header_place(), "")
            .help(format!("{what} and add the column, for example as `{header}`"));
        found.push(item);
        return;
    }
    let Some(column) = read.stock.columns.named(name) else { return };
    for (row, part) in read.stock.parts.iter().enumerate() {
        let placed = part.fits.as_ref().is_none_or(|places| !places.is_empty());
        if placed && column.values.get(row).copied().flatten().is_none() && !grid.is_bad(row, name) {
            let message = format!("the {name} of {} `{}` is not known", read.stock.kind, part.id);
            let item = Diagnostic::missing(Code::NeedCell, message)
                .at(grid.place(row, name), "")
                .at(wanted.place.clone(), wanted.why.clone())
                .help("fill the cell, or write `none` into the part's `fits` and it is not placed");
            found.push(item.in_cell(name));
        }
    }
}

/// What `then` needs besides fits.
fn nexts(names: &Names<'_>, resolved: &Resolved<'_>, read: &StockRead, grid: &Grid, found: &mut Collector) {
    for next in resolved.draft.then.iter().flatten() {
        let wanted = |why: &str| Wanted { place: names.job.place(next.span.clone()), why: why.to_owned() };
        match next.value {
            Next::Price => cells(read, grid, "price", "price", &wanted("the price counts next"), found),
            Next::Moves if !grid.has("at") => {
                let kind = &read.stock.kind;
                let item = Diagnostic::missing(Code::NeedColumn, format!("the {kind} stock has no column `at`"))
                    .at(wanted("").place, "the number of moves counts next")
                    .at(grid.header_place(), "")
                    .help("add the column and write where each part stands now; leave it empty for a spare");
                found.push(item);
            }
            Next::Moves | Next::Spread(_) => {}
        }
    }
}

fn enough_parts(names: &Names<'_>, resolved: &Resolved<'_>, read: &StockRead, found: &mut Collector) {
    let usable =
        read.stock.parts.iter().filter(|part| part.fits.as_ref().is_none_or(|places| !places.is_empty())).count();
    let wanted = names.cylinders.positions.len();
    if usable >= wanted || !read.is_whole() || !names.cylinders.places.trusted {
        return;
    }
    let kind = &read.stock.kind;
    let message = format!("{wanted} cylinders want a {kind} and {usable} may be placed");
    let place = resolved.draft.place.iter().find(|at| at.value == *kind);
    let mut item = Diagnostic::missing(Code::NeedParts, message);
    if let Some(place) = place {
        item = item.at(names.place(place), "");
    }
    found.push(item.help(format!("add more to `{}`; parts whose `fits` is `none` do not count", read.stock.file)));
}
