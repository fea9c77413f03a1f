//! One bad job for every kind of mistake: what people read when they make it.
//!
//! Every case starts from a sound job of two cylinders and three pistons and changes one thing.

#[path = "bad_input/bought.rs"]
mod bought;
#[path = "bad_input/cases.rs"]
mod cases;
#[path = "bad_input/clearances.rs"]
mod clearances;
#[path = "bad_input/fits.rs"]
mod fits;
#[path = "bad_input/folder.rs"]
mod folder;

#[path = "bad_input/heads.rs"]
mod heads;
#[path = "bad_input/rockers.rs"]
mod rockers;
#[path = "bad_input/shells.rs"]
mod shells;
#[path = "bad_input/slips.rs"]
mod slips;
#[path = "bad_input/what_ifs.rs"]
mod what_ifs;

use std::collections::BTreeSet;

use pairwright::diagnostic::{Class, Code};
use pairwright::input::load;
use pairwright_engine::job::{Clearance, Positions, WhatIf};
use pairwright_engine::quantity::Amount;

use cases::cases;
use folder::JobFolder;

#[test]
fn the_job_that_is_changed_is_sound() {
    let folder = JobFolder::new();
    let loaded = load(folder.path()).expect("sound");
    assert_eq!(loaded.notes, []);
    assert_eq!(loaded.missing, []);
}

#[test]
fn the_job_with_heads_that_is_changed_is_sound() {
    let folder = heads::built();
    let loaded = load(folder.path()).expect("sound");
    assert_eq!(loaded.notes, []);
    assert_eq!(loaded.missing, []);
    let chambers = loaded.job.chambers.as_ref().expect("there");
    assert_eq!(chambers.rows.iter().map(|row| (row.head, row.chamber)).collect::<Vec<_>>(), [(0, 1), (0, 1)]);
    let matching = &loaded.job.matches[0];
    assert_eq!(
        matching.keep.iter().map(|pin| (pin.position, pin.part, pin.role)).collect::<Vec<_>>(),
        [(1, 1, 2), (0, 0, 3)]
    );
    let heads = loaded.job.stock("head").expect("there");
    let u = |name: &str, row: usize| heads.columns.value(name, row).map(|u| u.to_string());
    assert_eq!([u("u_chamber_1", 0), u("u_chamber_2", 0)], [Some("0.10 cc".into()), Some("0.3 cc".into())]);
    assert_eq!(loaded.job.engine.crevice.map(|crevice| crevice.to_string()), Some("1.2 cc".into()));
    let gaskets = loaded.job.stock("gasket").expect("there");
    assert_eq!(gaskets.parts.iter().map(|part| part.count).collect::<Vec<_>>(), [Some(4), None]);
}

#[test]
fn the_job_with_a_declared_fit_that_is_changed_is_sound() {
    let loaded = load(fits::declared().path()).expect("sound");
    assert_eq!(loaded.notes, []);
    assert_eq!(loaded.missing, []);
    let names: Vec<_> = loaded.job.fits.declared().map(|(_, fit)| (fit.name.as_str(), fit.terms.len())).collect();
    assert_eq!(names, [("ring_room", 2)]);
    let groove = loaded.job.positions("cylinder").expect("there").columns.value("groove", 1);
    assert_eq!(groove.map(|groove| groove.to_string()).as_deref(), Some("0.0812 in"));
}

#[test]
fn the_job_with_rockers_that_is_changed_is_sound() {
    let folder = rockers::sound();
    let loaded = load(folder.path()).expect("sound");
    assert_eq!((loaded.notes.len(), loaded.missing.len()), (0, 0));
    let served: Vec<_> = loaded.job.matches.iter().filter_map(|one| loaded.job.positions_of(one)).collect();
    assert_eq!(served.iter().map(|positions| positions.ids.join(" ")).collect::<Vec<_>>(), ["1i 2i", "1e 2e"]);
    assert_eq!(loaded.job.positions("valve").map(Positions::len), Some(4));
}

/// A file of clearances and sections of them say the same.
#[test]
fn the_job_with_clearances_that_is_changed_is_sound() {
    let loaded = [clearances::sound(), clearances::in_sections()].map(|folder| load(folder.path()).expect("sound"));
    for loaded in &loaded {
        assert_eq!((&loaded.notes, &loaded.missing), (&Vec::new(), &Vec::new()));
    }
    let [file, sections] = loaded.map(|loaded| loaded.job.ledger);
    assert_eq!((file.entries.len(), sections.entries.len()), (3, 1));
    let line = sections.entries[0].line;
    assert_eq!(Clearance { line, ..file.entries[0].clone() }, sections.entries[0]);
    assert_eq!(file.entries[1].cylinder, Some(0), "by the valve's own column");
}

#[test]
fn the_job_with_what_ifs_that_is_changed_is_sound() {
    let loaded = load(what_ifs::sound().path()).expect("sound");
    assert_eq!((loaded.notes.len(), loaded.missing.len()), (0, 0));
    let counts: Vec<_> = loaded.job.what_ifs.iter().map(|what_if| what_if.changes.len()).collect();
    assert_eq!(counts, [2, 7, 6, 0]);
    assert_eq!(WhatIf::stack(3, |at| &loaded.job.what_ifs[at].with), [1, 2, 3]);
}

#[test]
fn the_job_with_shells_that_is_changed_is_sound() {
    let loaded = load(shells::sound().path()).expect("sound");
    assert_eq!((loaded.notes.len(), loaded.missing.len()), (0, 0));
    let mains = &loaded.job.matches[0];
    let roles: Vec<_> = mains.place.iter().map(|role| (role.kind.as_str(), role.name.as_str())).collect();
    assert_eq!(roles, [("shell", "upper"), ("shell", "lower")]);
    assert_eq!(mains.keep.iter().map(|pin| (pin.position, pin.part, pin.role)).collect::<Vec<_>>(), [(0, 1, 0)]);
    let (_, fit) = loaded.job.fits.declared().next().expect("declared");
    let owners: Vec<_> = fit.terms.iter().map(|term| term.owner.as_str()).collect();
    assert_eq!(owners, ["journal", "journal", "upper", "lower"]);
}

#[test]
fn the_job_with_parts_to_buy_that_is_changed_is_sound() {
    let loaded = load(bought::sound().path()).expect("sound");
    assert_eq!(loaded.notes, []);
    assert_eq!(loaded.missing, []);
    let shims = loaded.job.stock("shim").expect("there");
    // As many pieces as there are valves.
    assert_eq!(
        shims.parts.iter().map(|part| part.id.as_str()).collect::<Vec<_>>(),
        ["A", "B", "2.60", "2.60", "2.65", "2.65"]
    );
    assert!(!shims.is_alike(0, 1) && shims.is_alike(2, 3) && !shims.is_alike(3, 4));
    assert_eq!([2, 3, 5].map(|part| shims.first_alike(part)), [2, 2, 4]);
    let prices: Vec<_> = (0..6).map(|part| shims.columns.value("price", part).map(Amount::ticks)).collect();
    assert_eq!(prices, [None, None, Some(680), Some(680), Some(680), Some(680)]);
}

#[test]
fn every_mistake_is_shown_with_its_place_and_a_remedy() {
    for (name, folder) in cases() {
        insta::assert_snapshot!(name, folder.shown());
    }
}

#[test]
fn every_code_is_shown_by_a_case() {
    let shown: BTreeSet<_> =
        cases().into_iter().flat_map(|(_, folder)| folder.findings()).map(|item| item.code).collect();
    // A file that the system refuses to read cannot be made by every user on every system.
    let missing: Vec<_> =
        Code::ALL.iter().filter(|code| !shown.contains(code) && **code != Code::FileUnreadable).collect();
    assert!(missing.is_empty(), "{missing:?}");
}

#[test]
fn every_finding_says_what_to_do_and_where() {
    for (name, folder) in cases() {
        for item in folder.findings() {
            let helps = item.class == Class::Note || item.help.is_some();
            assert!(helps, "{name}: {}", item.message);
            assert!(!item.message.ends_with('.'), "{name}: {}", item.message);
            assert!(
                item.place().is_some() || matches!(item.code, Code::FileMissing | Code::FileEmpty | Code::FileNotAJob),
                "{name}: {}",
                item.message
            );
        }
    }
}

/// One change, one finding, but where two findings are two mistakes.
#[test]
fn one_mistake_is_reported_once() {
    let several = [
        "everything_at_once",
        "syntax",
        "not_yet",
        "keys_unknown",
        "match_kinds",
        "match_same_name",
        "note_decimals",
        "fit_name_twice",
        "role_beside_another_kind",
        "clearances_everything_at_once",
    ];
    for (name, folder) in cases() {
        let findings = folder.findings();
        if !several.contains(&name) {
            assert_eq!(findings.len(), 1, "{name}: {}", folder.shown());
        }
    }
}

#[test]
fn findings_stand_in_the_order_of_files_and_lines() {
    let (_, folder) = cases().into_iter().find(|(name, _)| *name == "everything_at_once").expect("there");
    let findings = folder.findings();
    let files = ["job.toml", "cylinders.csv", "pistons.csv", "readings.csv"];
    let rank = |file: &str| files.iter().position(|name| file.ends_with(name)).expect("one of the job's");
    let places: Vec<_> = findings
        .iter()
        .filter_map(|item| item.place())
        .map(|place| (rank(&place.file), place.line, place.column))
        .collect();
    assert!(places.is_sorted(), "{places:?}");
    assert!(places.len() >= 8, "{places:?}");
    for (at, file) in files.iter().enumerate() {
        assert!(places.iter().any(|place| place.0 == at), "nothing of {file}");
    }
}

#[test]
fn a_wrong_unit_in_a_whole_column_is_one_mistake() {
    let rows: Vec<_> = (0..500).map(|row| format!("Q{row},99.9,612.0,,\n")).collect();
    let folder = JobFolder::new()
        .write("pistons.csv", format!("id,diameter_in,mass_g,at,fits\n{}", rows.concat()))
        .without_readings();
    let findings = folder.findings();
    let listed: Vec<_> = findings.iter().filter(|item| item.code == Code::CsvOutOfRange).collect();
    assert_eq!(listed.len(), 10);
    assert_eq!(listed[9].more, 490);
    assert_eq!(listed[0].help.as_deref().map(|help| help.contains("millimetres")), Some(true));
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_out_is_refused() {
    let elsewhere = tempfile::NamedTempFile::new().expect("a file outside");
    let folder = JobFolder::new().remove("pistons.csv");
    std::os::unix::fs::symlink(elsewhere.path(), folder.path().join("pistons.csv")).expect("linked");
    let codes: Vec<_> = folder.findings().into_iter().map(|item| item.code).collect();
    assert_eq!(codes, [Code::FileOutside]);
}
