//! The readings file: one dial reading a row.

use std::collections::HashMap;
use std::sync::Arc;

use pairwright_engine::job::{DeckReading, DeckReadings};
use pairwright_engine::quantity::Unit;

use crate::diagnostic::{Code, Collector, Diagnostic, Place, Source};
use crate::noun::plural;

use super::cell::{self, Value};
use super::grid::text_column;
use super::header::{self, Columns, Measure, Role};
use super::names::{Ids, Places};
use super::sheet::Sheet;
use super::stock::{stranger, unknown_part};
use super::table::Row;

const DECK: Sheet<'_> = Sheet {
    what: "a file of deck readings",
    texts: &["cylinder", "piston", "rod", "spot", "leave_out"],
    measured: &["reading"],
    uncertainties: false,
    required: &[&["cylinder"], &["piston"], &["reading"]],
    ..Sheet::PARTS
};

/// What the labels of the readings may name.
pub(super) struct Known<'a> {
    pub(super) places: &'a Places,
    pub(super) pistons: Option<&'a Ids<'a>>,
    pub(super) rods: Option<&'a Ids<'a>>,
    /// The job's stocks could not all be read.
    pub(super) stocks_hidden: bool,
}

/// Reads the rows of `source` into `deck`.
pub(super) fn read(
    deck: &mut DeckReadings,
    source: &Arc<Source>,
    units: Option<Unit>,
    known: &Known<'_>,
    found: &mut Collector,
) {
    let Some(columns) = header::open(source, &DECK, units, found) else { return };
    let Some(reader) = Reader::new(&columns, known) else { return };
    deck.rows.reserve_exact(columns.table.lines);
    let mut state = State { deck, spots: HashMap::new(), strangers: Strangers::default() };
    let (mut seen, mut rows) = (false, columns.table.rows());
    rows.advance();
    while rows.advance() {
        let row = rows.row();
        seen = true;
        let sound = cell::check_width(&columns, row, found);
        cell::check_unnamed(&columns, row, found);
        if sound {
            reader.take(row, &mut state, found);
        }
    }
    columns.check_decimals(found);
    state.strangers.report(known, found);
    if !seen && columns.table.open_quote.is_none() {
        let item = Diagnostic::wrong(Code::CsvHeaderOnly, format!("`{}` has a header and no reading", source.name()))
            .at(columns.table.heading_place(0), "")
            .help("add a row for every reading");
        found.push(item);
    }
}

/// Where the columns stand.
struct Reader<'a> {
    columns: &'a Columns<'a>,
    known: &'a Known<'a>,
    cylinder: usize,
    piston: usize,
    reading: (usize, Measure),
    rod: Option<usize>,
    spot: Option<usize>,
    leave_out: Option<usize>,
}

/// What the rows add to.
struct State<'a> {
    deck: &'a mut DeckReadings,
    spots: HashMap<String, u32>,
    strangers: Strangers,
}

impl<'a> Reader<'a> {
    fn new(columns: &'a Columns<'a>, known: &'a Known<'a>) -> Option<Self> {
        let reading = columns.roles.iter().enumerate().find_map(|(at, role)| match role {
            Role::Measured(measure) => Some((at, *measure)),
            _ => None,
        })?;
        Some(Self {
            columns,
            known,
            cylinder: text_column(columns, "cylinder")?,
            piston: text_column(columns, "piston")?,
            reading,
            rod: text_column(columns, "rod"),
            spot: text_column(columns, "spot"),
            leave_out: text_column(columns, "leave_out"),
        })
    }

    fn take(&self, row: Row<'_>, state: &mut State<'_>, found: &mut Collector) {
        let position = self.cylinder(row, found, &mut state.strangers);
        let part = self.part(self.piston, self.known.pistons, row, found, &mut state.strangers);
        let rod = match self.rod {
            Some(at) if !row.cell(at).is_empty() => self.part(at, self.known.rods, row, found, &mut state.strangers),
            _ => None,
        };
        let strange_rod = rod.is_none() && self.rod.is_some_and(|at| !row.cell(at).is_empty());
        let (at, measure) = &self.reading;
        let value = cell::value(self.columns, row, *at, measure, found);
        if value == Value::Empty {
            cell::missing(self.columns, row, *at, "write the reading, or take the row out", found);
        }
        let leave_out = self.leave_out.is_some_and(|at| leave_out(self.columns, row, at, found));
        let spot = self.spot.and_then(|at| cell::label(self.columns, row, at, found));
        let (Some(position), Some(part), Some(value)) = (position, part, value.typed()) else { return };
        if strange_rod {
            return;
        }
        let spot = spot.map(|label| state.spot(label));
        state.deck.rows.push(DeckReading { position, part, value, rod, spot, leave_out, line: row.line });
    }

    fn cylinder(&self, row: Row<'_>, found: &mut Collector, strangers: &mut Strangers) -> Option<usize> {
        let text = row.cell(self.cylinder);
        if text.is_empty() {
            cell::missing(self.columns, row, self.cylinder, "write which cylinder was read", found);
            return None;
        }
        let index = self.known.places.positions.get(text).copied();
        if index.is_none() && self.known.places.trusted {
            strangers.add("cylinder", text, || row.place(self.cylinder));
        }
        index
    }

    fn part(
        &self,
        at: usize,
        ids: Option<&Ids<'_>>,
        row: Row<'_>,
        found: &mut Collector,
        strangers: &mut Strangers,
    ) -> Option<usize> {
        let text = row.cell(at);
        let kind = self.columns.roles[at].name();
        if text.is_empty() {
            cell::missing(self.columns, row, at, &format!("write which {kind} stood in the cylinder"), found);
            return None;
        }
        let index = ids.and_then(|ids| ids.find(text));
        let sure = ids.map_or(!self.known.stocks_hidden, |ids| ids.trusted);
        if index.is_none() && sure {
            strangers.add(kind, text, || row.place(at));
        }
        index
    }
}

impl State<'_> {
    fn spot(&mut self, label: &str) -> u32 {
        if let Some(&index) = self.spots.get(label) {
            return index;
        }
        // A file of 64 MB holds fewer rows than a `u32` counts.
        let index = u32::try_from(self.deck.spots.len()).unwrap_or(u32::MAX);
        self.deck.spots.push(label.to_owned());
        self.spots.insert(label.to_owned(), index);
        index
    }
}

const YES: [&str; 5] = ["yes", "y", "x", "true", "1"];
const NO: [&str; 4] = ["no", "n", "false", "0"];

/// Whether the row says that its reading is left out.
pub(super) fn leave_out(columns: &Columns<'_>, row: Row<'_>, at: usize, found: &mut Collector) -> bool {
    let text = row.cell(at);
    let among = |words: &[&str]| words.iter().any(|word| text.eq_ignore_ascii_case(word));
    if !text.is_empty() && !among(&YES) && !among(&NO) {
        let heading = &columns.table.header[at].text;
        let item = Diagnostic::wrong(Code::CsvWord, format!("`{text}` does not say whether to leave the reading out"))
            .at(row.place(at), "")
            .help("write `yes` to leave it out, `no` or nothing to keep it; reasons go into a `note` column");
        found.push(item.in_cell(heading.as_str()));
    }
    among(&YES)
}

/// For so many strangers a likely name is looked for, which costs a pass over the stock each.
const SUGGESTED: usize = 10;

/// Labels that nothing bears, each with its first place and how often it occurs.
#[derive(Default)]
struct Strangers {
    index: HashMap<(&'static str, String), usize>,
    all: Vec<(&'static str, String, Place, usize)>,
}

impl Strangers {
    fn add(&mut self, kind: &'static str, label: &str, place: impl FnOnce() -> Place) {
        let key = (kind, label.to_owned());
        if let Some(&at) = self.index.get(&key) {
            self.all[at].3 += 1;
            return;
        }
        self.index.insert(key, self.all.len());
        self.all.push((kind, label.to_owned(), place(), 1));
    }

    fn report(self, known: &Known<'_>, found: &mut Collector) {
        for (at, (kind, label, place, times)) in self.all.into_iter().enumerate() {
            let often = match times {
                1 => String::new(),
                2 => "and on 1 more line".to_owned(),
                _ => format!("and on {} more lines", times - 1),
            };
            let ids = if kind == "rod" { known.rods } else { known.pistons };
            let item = match ids {
                _ if kind == "cylinder" => {
                    Diagnostic::wrong(Code::PositionUnknown, format!("there is no cylinder `{label}`"))
                        .help(known.places.positions_are())
                }
                Some(ids) if at < SUGGESTED => unknown_part(ids, &label),
                Some(ids) => stranger(ids, &label),
                None => Diagnostic::wrong(Code::PartUnknown, format!("there is no stock that `{label}` could be in"))
                    .help(format!("add `{kind} = \"{}.csv\"` under `[stock]`", plural(kind))),
            };
            found.push(item.at(place, often).in_cell(kind));
        }
    }
}
