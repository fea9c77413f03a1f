//! Files with more parts that what-ifs add.

use std::ops::Range;
use std::sync::Arc;

use pairwright_engine::job::Change;

use super::Made;
use crate::diagnostic::{Code, Diagnostic, Source};
use crate::input::folder::Folder;
use crate::input::homes;
use crate::input::job_file::{AddDraft, Draft};
use crate::input::load::Reading;
use crate::input::names::Places;
use crate::input::resolve::{Names, Sets};
use crate::input::stock::{self, StockRead};

/// A file that a what-if adds to a stock.
#[derive(Debug)]
pub(in crate::input) struct Added {
    what_if: usize,
    span: Range<usize>,
    read: StockRead,
}

/// Reads the files of parts that what-ifs add to stocks that the job has.
pub(in crate::input) fn read(
    job: &Arc<Source>,
    draft: &Draft,
    sets: Sets<'_>,
    folder: &mut Folder,
    reading: &mut Reading,
) -> Vec<Added> {
    let nowhere = Places::default();
    let mut all = Vec::new();
    for (what_if, section) in draft.what_ifs.iter().enumerate() {
        for add in &section.add {
            let AddDraft::File { kind, file } = add else { continue };
            if !draft.stocks.iter().any(|stock| stock.kind.value == kind.value) {
                continue;
            }
            let source = folder.read_named(&file.value, &job.place(file.span.clone()), &mut reading.found);
            let home = homes::of_stock(draft, &kind.value).and_then(|home| sets.of(home));
            let places = home.map_or(&nowhere, |read| &read.places);
            let (units, declared) = (draft.units, &draft.declared);
            let found = &mut reading.found;
            let sort = (kind.value.as_str(), file.value.as_str(), draft.a_position(&kind.value));
            let read = stock::read(sort, source.as_ref(), units, places, declared, found);
            all.push(Added { what_if, span: file.span.clone(), read });
        }
    }
    all
}

/// Turns the files into changes; reports parts that the stock has already, and pistons that no reading could tell of.
pub(super) fn take(names: &Names<'_>, added: Vec<Added>, made: &mut [Vec<Made>], reading: &mut Reading) {
    for Added { what_if, span, read } in added {
        let Some(stock) = names.stocks.iter().position(|known| known.stock.kind == read.stock.kind) else { continue };
        if read.stock.kind == "piston" && names.deck.is_some() {
            let item = Diagnostic::wrong(
                Code::WhatIfUseless,
                "pistons that no reading tells of cannot be planned with",
            )
            .at(names.job.place(span), "")
            .help(
                "read them, put them into the stock with `none` in their `fits`, and let the what-if name them: \
                     `add = { piston = [\"L\", \"M\"] }`",
            );
            reading.found.push(item);
            continue;
        }
        let ids = read.ids(&mut reading.found);
        let known = &names.ids[stock];
        let twice: Vec<&str> = ids.labels().filter(|label| known.find(label).is_some()).collect();
        if let (Some(label), Some(grid)) = (twice.first(), &read.grid) {
            let row = ids.find(label).unwrap_or(0);
            let item = Diagnostic::wrong(Code::PartTwice, format!("the stock has a part `{label}` already"))
                .at(grid.place(row, "id"), "")
                .help(format!("give each {} a mark of its own, on the part and in the files", known.kind))
                .in_cell("id");
            reading.found.push(item);
        }
        drop(ids);
        made[what_if].push((Change::Add { stock, parts: read.stock }, span));
    }
}
