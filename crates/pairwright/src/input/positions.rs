//! The positions of one kind: those of the positions file, and for cylinders the banks of the job file together with it.

use std::collections::HashMap;
use std::sync::Arc;

use pairwright_engine::job::{Bank, CYLINDER, Columns as Values, Positions};
use pairwright_engine::quantity::Unit;

use crate::diagnostic::{Code, Collector, Diagnostic, Source};
use crate::noun::plural;

use super::cell;
use super::declared::Declared;
use super::far_off;
use super::grid::{Grid, text_column};
use super::header::{self, Role};
use super::job_file::{At, BankDraft};
use super::names::Places;
use super::sheet::Sheet;

/// The positions of one kind, for cylinders the banks, and what is needed to point at them.
#[derive(Debug)]
pub(super) struct PositionsRead {
    pub(super) positions: Positions,
    pub(super) banks: Vec<Bank>,
    pub(super) places: Places,
    /// The positions file, where there is one that could be read.
    pub(super) grid: Option<Grid>,
    /// Row in the positions file, one a position.
    pub(super) rows: Vec<Option<usize>>,
    /// Columns of words with their names, a word a position.
    words: Vec<(String, Vec<Option<String>>)>,
    /// Whether there is a file, if only one that could not be read.
    given: bool,
}

/// Value columns of the cylinders.
const CYLINDERS: &[&str] = &["bore", "deck_height", "throw", "crevice", "along"];
/// Value columns of the valves.
const VALVES: &[&str] = &["lobe_lift", "lash", "lift"];

/// Every value column of positions files, for `[uncertainty]`.
pub(super) fn measured_columns() -> impl Iterator<Item = &'static str> {
    CYLINDERS.iter().chain(VALVES).copied()
}

/// What a positions file of a kind may hold; messages call it `what`.
pub(super) fn sheet<'k>(kind: &'k str, what: &'k str, groups: &'k [String]) -> Sheet<'k> {
    let measured: &[&str] = match kind {
        CYLINDER => CYLINDERS,
        "valve" => VALVES,
        _ => &[],
    };
    Sheet { what, called: Some(kind), groups, measured, limits: true, ..Sheet::PARTS }
}

/// The rows of a positions file.
#[derive(Debug)]
struct File {
    name: String,
    ids: Vec<String>,
    grid: Grid,
    /// Columns of words with their names, a word a row.
    words: Vec<(String, Vec<Option<String>>)>,
    /// Whether every row's label is known.
    trusted: bool,
}

/// The positions file as the job names it, and its text where that could be read.
pub(super) struct Given<'a> {
    pub(super) name: &'a str,
    pub(super) source: Option<&'a Arc<Source>>,
    /// Columns of words that may stand in it, as headers are looked up.
    pub(super) groups: &'a [String],
}

/// Reads the positions of `kind`, putting banks and positions file together; reports where they differ.
pub(super) fn read(
    job: &Source,
    kind: &str,
    drafts: &[BankDraft],
    given: Option<&Given<'_>>,
    declared: &Declared,
    units: Option<Unit>,
    found: &mut Collector,
) -> PositionsRead {
    let file = given.and_then(|given| read_file(kind, given, declared, units, found));
    let unreadable = given.is_some() && file.is_none();
    let mut together = Together { kind: kind.to_owned(), ..Together::default() };
    let banks = together.add_banks(job, drafts, found);
    if let Some(file) = &file {
        together.add_file(job, file, drafts, found);
    }
    let trusted = if drafts.is_empty() { !unreadable && file.as_ref().is_none_or(|file| file.trusted) } else { true };
    let given = given.is_some();
    PositionsRead { given, ..together.finish(banks, file, trusted && (given || !drafts.is_empty()), drafts) }
}

fn read_file(
    kind: &str,
    given: &Given<'_>,
    declared: &Declared,
    units: Option<Unit>,
    found: &mut Collector,
) -> Option<File> {
    let (source, what) = (given.source?, format!("a {} file", plural(kind)));
    let sheet = sheet(kind, &what, given.groups);
    let known = declared.known(kind, &sheet);
    let columns = header::open(source, &Sheet { declared: &known, hidden: declared.refused, ..sheet }, units, found)?;
    let id = text_column(&columns, "id")?;
    let groups = columns.roles.iter().enumerate().filter_map(|(at, role)| match role {
        Role::Group(group) => Some((at, given.groups.get(*group)?)),
        _ => None,
    });
    let groups: Vec<(usize, &String)> = groups.collect();
    let mut file = File {
        name: given.name.to_owned(),
        ids: Vec::new(),
        grid: Grid::new(source, &columns),
        words: groups.iter().map(|(_, name)| ((*name).clone(), Vec::new())).collect(),
        trusted: columns.table.open_quote.is_none(),
    };
    let mut rows = columns.table.rows();
    rows.advance();
    while rows.advance() {
        let row = rows.row();
        let sound = cell::check_width(&columns, row, found);
        cell::check_unnamed(&columns, row, found);
        let Some(label) = cell::label(&columns, row, id, found) else {
            file.trusted = false;
            if sound && row.cell(id).is_empty() {
                cell::missing(&columns, row, id, &format!("write the {kind}'s number, or take the row out"), found);
            }
            continue;
        };
        file.grid.take(&columns, row, sound, found);
        file.ids.push(label.to_owned());
        for ((at, _), (_, words)) in groups.iter().zip(&mut file.words) {
            let word = if sound { cell::label(&columns, row, *at, found) } else { None };
            words.push(word.map(str::to_owned));
        }
    }
    columns.check_decimals(found);
    file.grid.check_limits(&declared.fits, found);
    far_off::warn(&file.grid, kind, declared, found);
    if file.ids.is_empty() && file.trusted {
        let item = Diagnostic::wrong(Code::CsvHeaderOnly, format!("`{}` has a header and no {kind}", source.name()))
            .at(file.grid.header_place(), "")
            .help(format!("add a row for every {kind}"));
        found.push(item);
        return None;
    }
    Some(file)
}

/// Positions as they come together.
#[derive(Debug, Default)]
struct Together {
    kind: String,
    ids: Vec<String>,
    banks: Vec<Option<usize>>,
    rows: Vec<Option<usize>>,
    index: HashMap<String, usize>,
}

impl Together {
    fn add(&mut self, id: &str, bank: Option<usize>) -> usize {
        let index = self.ids.len();
        self.ids.push(id.to_owned());
        self.banks.push(bank);
        self.rows.push(None);
        self.index.insert(id.to_owned(), index);
        index
    }

    fn add_banks(&mut self, job: &Source, drafts: &[BankDraft], found: &mut Collector) -> Vec<Bank> {
        let mut firsts: HashMap<&str, (&BankDraft, &At<String>)> = HashMap::new();
        let mut banks = Vec::with_capacity(drafts.len());
        for (at, draft) in drafts.iter().enumerate() {
            let mut cylinders = Vec::with_capacity(draft.cylinders.len());
            for cylinder in &draft.cylinders {
                if let Some((bank, first)) = firsts.get(cylinder.value.as_str()) {
                    found.push(cylinder_twice(job, draft, cylinder, bank, first));
                    continue;
                }
                firsts.insert(&cylinder.value, (draft, cylinder));
                cylinders.push(self.add(&cylinder.value, Some(at)));
            }
            banks.push(Bank {
                name: draft.name.value.clone(),
                cylinders,
                head: draft.head,
                straight: draft.straight,
                form: draft.form,
                line: job.place(draft.name.span.clone()).line,
            });
        }
        for draft in drafts.iter().filter(|draft| firsts.contains_key(draft.name.value.as_str())) {
            let (_, cylinder) = firsts[draft.name.value.as_str()];
            let message = format!("bank `{0}` bears the name of cylinder `{0}`", draft.name.value);
            let item = Diagnostic::wrong(Code::BankName, message)
                .at(job.place(draft.name.span.clone()), "the bank")
                .at(job.place(cylinder.span.clone()), "the cylinder")
                .help("give the bank another name, such as `left`");
            found.push(item);
        }
        banks
    }

    fn add_file(&mut self, job: &Source, file: &File, drafts: &[BankDraft], found: &mut Collector) {
        for (row, id) in file.ids.iter().enumerate() {
            let known = self.index.get(id).copied();
            if known.is_none() && !drafts.is_empty() {
                let item = Diagnostic::wrong(Code::BankPositions, format!("cylinder `{id}` is in no bank"))
                    .at(file.id_place(row), "")
                    .help("add it to its bank in the job file, or take the row out");
                found.push(item.in_cell("cylinder"));
            }
            let index = known.unwrap_or_else(|| self.add(id, None));
            let Some(first) = self.rows[index] else {
                self.rows[index] = Some(row);
                continue;
            };
            let kind = &self.kind;
            let item = Diagnostic::wrong(Code::PositionTwice, format!("{kind} `{id}` has two rows"))
                .at(file.id_place(row), "again here")
                .at(file.id_place(first), "first here")
                .help(format!("keep one row for each {kind}"));
            found.push(item.in_cell("cylinder"));
        }
        if !file.trusted {
            return;
        }
        for cylinder in drafts.iter().flat_map(|draft| &draft.cylinders) {
            if self.index.get(&cylinder.value).is_some_and(|&index| self.rows[index].is_none()) {
                let message = format!("cylinder `{}` has no row in `{}`", cylinder.value, file.name);
                let item = Diagnostic::wrong(Code::BankPositions, message)
                    .at(job.place(cylinder.span.clone()), "")
                    .help("add its row to the cylinders file, or take it out of the bank");
                found.push(item);
            }
        }
    }

    fn finish(self, banks: Vec<Bank>, file: Option<File>, trusted: bool, drafts: &[BankDraft]) -> PositionsRead {
        let columns = file.as_ref().map(|file| Values::new(file.grid.columns(&self.rows)));
        let limits = file.as_ref().map(|file| file.grid.limits(&self.rows));
        let line = |row: &Option<usize>| match (&file, row) {
            (Some(file), Some(row)) => file.grid.line(*row),
            _ => 0,
        };
        let positions = Positions {
            kind: self.kind.clone(),
            file: file.as_ref().map(|file| file.name.clone()),
            ids: self.ids.clone(),
            banks: self.banks,
            lines: self.rows.iter().map(line).collect(),
            columns: columns.unwrap_or_default(),
            limits: limits.unwrap_or_default(),
            order: Vec::new(),
            others: Vec::new(),
        };
        let of_row = |words: &[Option<String>]| {
            self.rows.iter().map(|row| words.get((*row)?).cloned().flatten()).collect::<Vec<_>>()
        };
        let words = file.iter().flat_map(|file| &file.words);
        let words = words.map(|(name, words)| (name.clone(), of_row(words))).collect();
        let bank_names: Vec<_> = drafts.iter().map(|draft| draft.name.value.clone()).collect();
        let places = Places {
            kind: self.kind,
            positions: self.index,
            banks: bank_names.iter().cloned().enumerate().map(|(at, name)| (name, at)).collect(),
            labels: self.ids,
            bank_names,
            trusted,
        };
        PositionsRead {
            positions,
            banks,
            places,
            grid: file.map(|file| file.grid),
            rows: self.rows,
            words,
            given: false,
        }
    }
}

impl PositionsRead {
    /// The words of the column called `name`, a word a position.
    pub(super) fn words(&self, name: &str) -> Option<&[Option<String>]> {
        self.words.iter().find(|(known, _)| known == name).map(|(_, words)| words.as_slice())
    }

    /// The columns of words.
    pub(super) fn word_columns(&self) -> Vec<&str> {
        self.words.iter().map(|(name, _)| name.as_str()).collect()
    }

    /// Whether a column that seems to be missing may be one that could not be read.
    pub(super) fn may_hide_a_column(&self) -> bool {
        self.is_unreadable() || self.grid.as_ref().is_some_and(Grid::has_refused)
    }

    /// Whether the job names a file.
    pub(super) fn is_given(&self) -> bool {
        self.given
    }

    /// Whether there is a file that could not be read.
    pub(super) fn is_unreadable(&self) -> bool {
        self.given && self.grid.is_none()
    }
}

impl File {
    fn id_place(&self, row: usize) -> crate::diagnostic::Place {
        self.grid.place(row, "id")
    }
}

fn cylinder_twice(
    job: &Source,
    draft: &BankDraft,
    cylinder: &At<String>,
    first_bank: &BankDraft,
    first: &At<String>,
) -> Diagnostic {
    let (bank, other) = (&draft.name.value, &first_bank.name.value);
    let message = if bank == other {
        format!("cylinder `{}` stands twice in bank `{bank}`", cylinder.value)
    } else {
        format!("cylinder `{}` stands in bank `{other}` and in bank `{bank}`", cylinder.value)
    };
    Diagnostic::wrong(Code::BankCylinderTwice, message)
        .at(job.place(cylinder.span.clone()), "again here")
        .at(job.place(first.span.clone()), "first here")
        .help("a cylinder stands in one bank, once")
}
