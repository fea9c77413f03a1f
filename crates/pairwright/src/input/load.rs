//! From a path to a job.

use std::path::Path;
use std::sync::Arc;

use pairwright_engine::job::{CYLINDER, ChamberReadings, DeckReadings, Job, Machined, Positions};

use crate::diagnostic::{Class, Code, Collector, Diagnostic, Diagnostics, Source, Sources};

use super::chambers::{self, Heads};
use super::job_file::{self, Draft, Section, example};
use super::ledger::{self, EntryDraft};
use super::names::{Ids, Places};
use super::positions::{self, Given, PositionsRead};
use super::resolve::{self, Names, Resolved, Sets};
use super::sheet::Sheet;
use super::stock::{self, StockRead};
use super::{folder, header, heads, homes, lash, mates, needs, only, readings, unit_slip, what_ifs};

/// A job that was read, and what there is to say about it.
#[derive(Debug)]
pub struct Loaded {
    /// The job.
    pub job: Job,
    /// Warnings and notes, in the order of files and lines.
    pub notes: Vec<Diagnostic>,
    /// What is missing before a match can be solved, in the order of the matches.
    pub missing: Vec<Need>,
    /// The texts that were read; findings point into them.
    pub sources: Sources,
}

/// Something that a match lacks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// Index into the job's matches; `None` where the job has no match at all.
    pub matching: Option<usize>,
    /// What is missing, and how to get it.
    pub diagnostic: Diagnostic,
}

/// What is being read, and what was found so far.
#[derive(Debug, Default)]
pub(super) struct Reading {
    pub(super) found: Collector,
}

/// Reads the job at `path`: a folder with a `job.toml`, or the job file itself.
///
/// Cost grows with the size of the files, plus that of finding a likely name for the first few
/// labels that nothing bears.
///
/// # Errors
/// Everything that is wrong with any of the files, in the order of files and lines, together with
/// what the matches lack and the notes. What is merely [missing](Class::Missing) for a match does
/// not make the job unreadable: see [`Loaded::missing`].
///
/// # Examples
/// ```
/// use pairwright::diagnostic::{Code, render};
/// let wrong = pairwright::input::load(std::path::Path::new("no-such-folder")).expect_err("not there");
/// assert_eq!(wrong.items[0].code, Code::FileMissing);
/// assert!(render(&wrong.items, &wrong.sources, false).starts_with("error[file-missing]"));
/// ```
pub fn load(path: &Path) -> Result<Loaded, Diagnostics> {
    let mut reading = Reading::default();
    let (mut folder, job) = folder::open_job(path, &mut reading.found);
    let Some(job) = job else { return Err(refuse(reading.found, Vec::new(), folder.sources)) };
    let headings = |file: &str, sheet: &Sheet<'_>| header::headings(&folder.start_of(file)?, sheet);
    let mut draft = job_file::read(&job, &headings, &mut reading.found);
    if draft.title.is_none() {
        draft.title = Some(folder.name());
    }

    let (cylinders, others) = read_positions(&job, &draft, &mut folder, &mut reading);
    let sets = Sets { cylinders: &cylinders, others: &others };
    let stocks = read_stocks(&job, &draft, sets, &mut folder, &mut reading);
    let ids: Vec<_> = stocks.iter().map(|read| read.ids(&mut reading.found)).collect();
    for read in &stocks {
        stock::check_mates(read, &ids, &mut reading.found);
    }
    mates::check(&stocks, &ids, &mut reading.found);
    let deck = read_deck(&job, &draft, &cylinders, &ids, &mut folder, &mut reading);
    let (chambers, pours_whole) = read_chambers(&job, &draft, &cylinders, (&stocks, &ids), &mut folder, &mut reading);
    let entries = read_clearances(&job, &mut draft, &mut folder, &mut reading);
    let names = Names {
        job: &job,
        draft: &draft,
        cylinders: &cylinders,
        sets,
        stocks: &stocks,
        ids: &ids,
        deck: deck.as_ref(),
        chambers: chambers.as_ref(),
        pours_whole,
    };
    let resolved = if draft.broken { Vec::new() } else { resolve::matches(&names, &mut reading) };
    let what_ifs = if draft.broken {
        Vec::new()
    } else {
        let added = what_ifs::read_added(&job, &draft, sets, &mut folder, &mut reading);
        what_ifs::resolve(&names, &resolved, added, &mut reading)
    };
    let ledger = ledger::ledger(&names, &entries, &mut reading.found);
    heads::check(&names, &resolved, &mut reading);
    lash::note(&resolved, &mut reading);
    only::note_unserved(&names, &resolved, &mut reading);
    unit_slip::note(&names, &mut reading);
    let missing = missing(&names, &resolved, &folder.sources);
    let sound = reading.found.is_sound();
    if !sound {
        let missing = missing.into_iter().map(|need| need.diagnostic).collect();
        return Err(refuse(reading.found, missing, folder.sources));
    }
    let all = std::iter::once(&cylinders).chain(&others).map(|read| &read.positions);
    let mut positions: Vec<Positions> = all.filter(|positions| !positions.is_empty()).cloned().collect();
    let matches = resolved.into_iter().map(|resolved| resolved.into_match(&mut positions)).collect();
    drop(ids);
    let job = Job {
        title: draft.title.unwrap_or_default(),
        units: draft.units.unwrap_or(pairwright_engine::quantity::Unit::Millimetre),
        risk: draft.risk,
        seed: draft.seed,
        engine: draft.engine,
        banks: cylinders.banks,
        positions,
        stocks: stocks.into_iter().map(|read| read.stock).collect(),
        uncertainty: draft.uncertainty,
        fits: draft.declared.fits.with_entries(&ledger),
        deck,
        chambers,
        ledger,
        matches,
        machined: Machined::default(),
        what_ifs,
    }
    .with_pieces();
    let notes = reading.found.finish(&folder.sources);
    Ok(Loaded { job, notes, missing, sources: folder.sources })
}

fn refuse(mut found: Collector, missing: Vec<Diagnostic>, sources: Sources) -> Diagnostics {
    for item in missing {
        found.push(item);
    }
    Diagnostics { items: found.finish(&sources), sources }
}

/// The cylinders, empty where the job has none, and the positions of every other kind.
fn read_positions(
    job: &Arc<Source>,
    draft: &Draft,
    folder: &mut folder::Folder,
    reading: &mut Reading,
) -> (PositionsRead, Vec<PositionsRead>) {
    let mut read = |kind: &str, reading: &mut Reading| {
        let file = draft.positions.iter().find(|file| file.kind.value == kind).map(|file| &file.file);
        let source =
            file.and_then(|file| folder.read_named(&file.value, &job.place(file.span.clone()), &mut reading.found));
        let groups = only::columns(draft, kind);
        let given = file.map(|file| Given { name: &file.value, source: source.as_ref(), groups: &groups });
        let banks: &[_] = if kind == CYLINDER { &draft.banks } else { &[] };
        let mut read =
            positions::read(job, kind, banks, given.as_ref(), &draft.declared, draft.units, &mut reading.found);
        let refused = draft.is_refused(Section::Positions) || kind == CYLINDER && draft.is_refused(Section::Banks);
        read.places.trusted &= !refused;
        read
    };
    let cylinders = read(CYLINDER, reading);
    let others = draft.positions.iter().map(|file| file.kind.value.as_str()).filter(|kind| *kind != CYLINDER);
    let others: Vec<_> = others.map(|kind| read(kind, reading)).collect();
    let refused = draft.is_refused(Section::Banks) || draft.is_refused(Section::Positions);
    let wants = draft.deck.is_some() || draft.chambers.is_some() || others.is_empty();
    if draft.banks.is_empty() && !cylinders.is_given() && wants && !refused {
        let item = Diagnostic::wrong(Code::PositionNone, "nothing says which cylinders there are")
            .at(job.place(0..0), "")
            .help("add `[banks]` with a list for each bank, or `[positions]` with a cylinders file");
        reading.found.push(item);
    }
    (cylinders, others)
}

fn read_stocks(
    job: &Arc<Source>,
    draft: &Draft,
    sets: Sets<'_>,
    folder: &mut folder::Folder,
    reading: &mut Reading,
) -> Vec<StockRead> {
    let nowhere = Places::default();
    let mut stocks = Vec::with_capacity(draft.stocks.len());
    for file in &draft.stocks {
        let (kind, name) = (&file.kind.value, &file.file.value);
        let source = folder.read_named(name, &job.place(file.file.span.clone()), &mut reading.found);
        let home = homes::of_stock(draft, kind).and_then(|home| sets.of(home));
        let places = home.map_or(&nowhere, |read| &read.places);
        let (units, declared) = (draft.units, &draft.declared);
        let sort = (kind.as_str(), name.as_str(), draft.a_position(kind));
        stocks.push(stock::read(sort, source.as_ref(), units, places, declared, &mut reading.found));
    }
    stocks
}

fn read_deck(
    job: &Arc<Source>,
    draft: &Draft,
    cylinders: &PositionsRead,
    ids: &[Ids<'_>],
    folder: &mut folder::Folder,
    reading: &mut Reading,
) -> Option<DeckReadings> {
    let deck = draft.deck.as_ref()?;
    let source = folder.read_named(&deck.file.value, &job.place(deck.file.span.clone()), &mut reading.found);
    let of_kind = |kind: &str| ids.iter().find(|ids| ids.kind == kind);
    let rods = of_kind("rod");
    let mut readings = DeckReadings {
        file: deck.file.value.clone(),
        resolution: deck.resolution,
        repeatability: deck.repeatability,
        positive: deck.positive,
        ..DeckReadings::default()
    };
    if let Some(rod) = &deck.rod {
        readings.control_rod = rods.and_then(|ids| ids.find(&rod.value));
        let place = job.place(rod.span.clone());
        match rods {
            Some(ids) if readings.control_rod.is_none() && ids.trusted => {
                reading.found.push(stock::unknown_part(ids, &rod.value).at(place, ""));
            }
            None if !draft.is_refused(Section::Stock) => {
                let item =
                    Diagnostic::wrong(Code::PartUnknown, format!("there is no stock that `{}` could be in", rod.value))
                        .at(place, "")
                        .help("add `rod = \"rods.csv\"` under `[stock]`");
                reading.found.push(item);
            }
            _ => {}
        }
    }
    let hidden = draft.is_refused(Section::Stock);
    let known = readings::Known { places: &cylinders.places, pistons: of_kind("piston"), rods, stocks_hidden: hidden };
    if let Some(source) = source {
        readings::read(&mut readings, &source, draft.units, &known, &mut reading.found);
    }
    Some(readings)
}

fn read_chambers(
    job: &Arc<Source>,
    draft: &Draft,
    cylinders: &PositionsRead,
    (stocks, ids): (&[StockRead], &[Ids<'_>]),
    folder: &mut folder::Folder,
    reading: &mut Reading,
) -> (Option<ChamberReadings>, bool) {
    let Some(chambers) = draft.chambers.as_ref() else { return (None, !draft.is_refused(Section::Readings)) };
    let source = folder.read_named(&chambers.file.value, &job.place(chambers.file.span.clone()), &mut reading.found);
    let mut readings = ChamberReadings {
        file: chambers.file.value.clone(),
        rows: Vec::new(),
        resolution: chambers.resolution,
        repeatability: chambers.repeatability,
    };
    let longest = cylinders.banks.iter().map(|bank| bank.cylinders.len()).max();
    let heads = Heads {
        read: stocks.iter().find(|read| read.stock.kind == "head"),
        ids: ids.iter().find(|ids| ids.kind == "head"),
        hidden: draft.is_refused(Section::Stock),
        longest: longest.filter(|_| !draft.is_refused(Section::Banks)),
    };
    let whole = source.is_some_and(|source| chambers::read(&mut readings, &source, &heads, &mut reading.found));
    (Some(readings), whole)
}

/// The entries of the clearance ledger, of the job file and of the file that it names.
fn read_clearances(
    job: &Arc<Source>,
    draft: &mut Draft,
    folder: &mut folder::Folder,
    reading: &mut Reading,
) -> Vec<EntryDraft> {
    let mut entries = std::mem::take(&mut draft.entries);
    let Some(file) = &draft.clearances else { return entries };
    if let Some(source) = folder.read_named(&file.value, &job.place(file.span.clone()), &mut reading.found) {
        entries.extend(ledger::read(&source, draft.units, &mut reading.found));
    }
    entries
}

fn missing(names: &Names<'_>, resolved: &[Resolved<'_>], sources: &Sources) -> Vec<Need> {
    let mut all = Vec::new();
    for (index, one) in resolved.iter().enumerate() {
        let found = needs::of_match(names, one, &resolved[..index]).finish(sources);
        all.extend(found.into_iter().map(|diagnostic| Need { matching: Some(index), diagnostic }));
    }
    if names.draft.matches.is_empty() && !names.draft.broken {
        let kind = example::kind(names.draft.stocks.iter().map(|file| file.kind.value.as_str()));
        let fit = example::fit(kind, &names.draft.declared.fits, "deck");
        let diagnostic = Diagnostic::missing(Code::NeedMatch, "no `[[match]]` says what to place")
            .at(names.job.place(0..0), "")
            .help(format!("add a section `[[match]]` with `place = \"{kind}\"` and an aim such as `even = \"{fit}\"`"));
        all.push(Need { matching: None, diagnostic });
    }
    debug_assert!(all.iter().all(|need| need.diagnostic.class == Class::Missing), "needs are of one class");
    all
}
