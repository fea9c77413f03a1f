//! Entries to the ledger of the job.

use std::collections::HashMap;

use pairwright_engine::job::{Clearance, Ledger, ReadWith, Since};

use super::draft::{EntryDraft, Said};
use super::{lacks, places, words};
use crate::diagnostic::{Code, Collector};
use crate::input::resolve::Names;

/// The ledger; everything that is wrong with any entry is reported.
pub(in crate::input) fn ledger(names: &Names<'_>, entries: &[EntryDraft], found: &mut Collector) -> Ledger {
    check_names(entries, found);
    let file = names.draft.clearances.as_ref().map(|file| file.value.clone());
    if let Some(beyond) = entries.get(Ledger::MOST) {
        let message = format!("more than {} clearances", Ledger::MOST);
        found.push(beyond.at.wrong(Code::ClearanceName, message).help("take out those that nothing comes near"));
    }
    Ledger {
        file,
        cam: names.draft.cam.clone(),
        crowns: Vec::new(),
        entries: entries.iter().filter_map(|entry| one(names, entry, found)).collect(),
    }
}

fn check_names(entries: &[EntryDraft], found: &mut Collector) {
    let mut firsts: HashMap<&str, &Said<String>> = HashMap::new();
    for name in entries.iter().filter_map(|entry| entry.text("name")) {
        let Some(first) = firsts.get(name.value.as_str()) else {
            firsts.insert(&name.value, name);
            continue;
        };
        let item = name.wrong(Code::ClearanceName, format!("two clearances are called `{}`", name.value));
        found.push(item.at(first.place.clone(), "first here").help("give each clearance a name of its own"));
    }
}

fn one(names: &Names<'_>, draft: &EntryDraft, found: &mut Collector) -> Option<Clearance> {
    let moves = words::moves(draft, found);
    let place = places::place(names, draft, found);
    let mut part = |kind: &str| places::part(names, draft, kind, found);
    let parts = ["piston", "rod", "gasket", "head", "rocker"].map(&mut part);
    let [Some(piston), Some(rod), Some(gasket), Some(head), Some(rocker)] = parts else { return None };
    let amount = |key: &str| draft.amount(key).map(|said| said.value);
    let ((cylinder, valve), moves) = (place?, moves?);
    let entry = Clearance {
        name: draft.text("name")?.value.clone(),
        moves,
        cylinder,
        valve,
        reading: amount("reading")?,
        u: amount("u"),
        minimum: amount("minimum")?,
        read_with: ReadWith {
            piston,
            rod,
            gasket,
            head,
            rocker,
            lift: amount("lift"),
            lift_there: amount("lift_there"),
            cam: draft.text("cam").map(|said| said.value.clone()),
        },
        since: Since::default(),
        measure_again: false,
        line: draft.at.place.line,
    };
    let sound = lacks::check(names, draft, &entry, found);
    (lacks::check_lifts(draft, &entry, found) && sound).then_some(entry)
}
