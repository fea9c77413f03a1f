//! The job file from the top.

use pairwright_engine::job::DeclaredFits;
use pairwright_engine::quantity::{Amount, Bound, Unit};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::walk::{Entry, Keys, Walk, entries};
use super::{
    Draft, Section, banks, clearance, files, fits, matching, misplaced, once, place, readings, syntax, what_if,
};
use crate::diagnostic::{Code, Collector, Diagnostic, Source};
use crate::input::sheet::Sheet;

/// The risk that a true value lies beyond a limit called held, where the job states none.
const RISK: f64 = 0.025;
/// The seed of the draws, where the job states none.
const SEED: u64 = 1;

const TOP: Keys = Keys {
    section: "the job file",
    known: &[
        "title",
        "units",
        "risk",
        "seed",
        "engine",
        "banks",
        "stock",
        "positions",
        "uncertainty",
        "readings",
        "clearance",
        "fit",
        "match",
        "what_if",
    ],
    later: &["correction", "sheet"],
};

const ENGINE: Keys = Keys { section: "`[engine]`", known: &ENGINE_KEYS, later: &["throw", "rod", "chamber"] };

const ENGINE_KEYS: [&str; 10] = [
    "bore",
    "stroke",
    "rod_length",
    "deck_height",
    "crevice_cc",
    "crevice",
    "lobe_lift",
    "reference_lobe",
    "crown_allowance",
    "cam",
];

/// Gives the headings of a file that the job names, in small letters with their units; `None` where it cannot be read.
pub(in crate::input) type Headings<'h> = &'h dyn Fn(&str, &Sheet<'_>) -> Option<Vec<String>>;

/// Reads the whole job file; `headings` looks into the files that it names.
pub(in crate::input) fn read(source: &Source, headings: Headings<'_>, found: &mut Collector) -> Draft {
    let (root, errors) = DeTable::parse_recoverable(source.text());
    let mut draft = Draft { risk: RISK, seed: SEED, broken: !errors.is_empty(), ..Draft::default() };
    let mut own = Collector::default();
    let mut walk = Walk {
        source,
        found: &mut own,
        units: None,
        fits: DeclaredFits::default(),
        fits_hidden: false,
        kinds: Vec::new(),
    };
    walk.top(root.get_ref(), &mut draft, headings);
    if !errors.is_empty() {
        // What the walk says of a table that was put together from pieces is mostly noise.
        own.retain(|_| false);
        syntax::report(source, &errors, &mut own);
    }
    for item in own.finish(&crate::diagnostic::Sources::default()) {
        found.push(item);
    }
    draft
}

impl Walk<'_> {
    fn top(&mut self, root: &DeTable<'_>, draft: &mut Draft, headings: Headings<'_>) {
        let all = entries(root);
        // The unit first: every bare length after it needs it, wherever it stands.
        if let Some(&entry) = all.iter().find(|entry| entry.key == "units") {
            self.units = self.unit(entry);
        } else {
            let item = Diagnostic::wrong(Code::JobMissingKey, "the job does not say what unit its lengths are in")
                .at(self.place(0..0), "")
                .help("add `units = \"in\"` or `units = \"mm\"` at the top, before the first section");
            self.report(item);
        }
        draft.units = self.units;
        (draft.aliases, draft.aliases_hidden) = place::aliases(root);
        let mut known = Vec::with_capacity(all.len());
        for entry in all {
            if !misplaced::report(self, entry, draft) && self.check_key(entry, &TOP) {
                known.push(entry);
            }
        }
        // What names files first, then the fits that name columns of them, then whatever may name such a fit.
        let order = |entry: &Entry<'_>| match entry.key {
            "fit" => 1,
            "uncertainty" | "match" | "what_if" => 2,
            _ => 0,
        };
        known.sort_by_key(order);
        for entry in known {
            if entry.key == "fit" {
                fits::read(self, entry, draft, headings);
            } else {
                self.section(entry, draft);
            }
        }
        once::check(self, draft);
        if !draft.broken {
            files::check_kinds(self, draft);
        }
    }

    fn section(&mut self, entry: Entry<'_>, draft: &mut Draft) {
        match entry.key {
            "title" => draft.title = self.text(entry, "title = \"Boat engine\"").map(|text| text.value),
            "risk" => draft.risk = self.risk(entry).unwrap_or(RISK),
            "seed" => draft.seed = self.seed(entry).unwrap_or(SEED),
            "engine" => self.engine(entry, draft),
            "banks" => banks::read(self, entry, draft),
            "stock" => files::stock(self, entry, draft),
            "positions" => files::positions(self, entry, draft),
            "uncertainty" => files::uncertainty(self, entry, draft),
            "readings" => readings::read(self, entry, draft),
            "clearance" => clearance::read(self, entry.value, draft),
            "match" => self.matches(entry.value, draft),
            "what_if" => what_if::read_all(self, entry.value, draft),
            _ => {}
        }
    }

    fn unit(&mut self, entry: Entry<'_>) -> Option<Unit> {
        let words = [Unit::Inch, Unit::Millimetre, Unit::Thou, Unit::Micrometre].map(|unit| (unit.symbol(), unit));
        self.word(entry, &words)
    }

    fn risk(&mut self, entry: Entry<'_>) -> Option<f64> {
        let text = self.number_text(entry, "risk = 0.025")?;
        let risk = text.parse::<f64>().ok().filter(|risk| *risk > 0.0 && *risk < 0.5);
        if risk.is_none() {
            let item = Diagnostic::wrong(Code::JobOutOfRange, format!("risk: `{text}` is not between 0 and 0.5"))
                .at(self.place(entry.value.span()), "")
                .help("write the share of limits called held that may be broken after all, such as `risk = 0.025`");
            self.report(item);
        }
        risk
    }

    fn seed(&mut self, entry: Entry<'_>) -> Option<u64> {
        let text = self.number_text(entry, "seed = 1")?;
        let seed = text.parse().ok();
        if seed.is_none() {
            let item = Diagnostic::wrong(Code::JobNumber, format!("seed: `{text}` is not a whole number from 0 on"))
                .at(self.place(entry.value.span()), "")
                .help("write a whole number such as `seed = 1`");
            self.report(item);
        }
        seed
    }

    fn engine(&mut self, entry: Entry<'_>, draft: &mut Draft) {
        let Some(table) = self.table(entry, "[engine]") else {
            draft.refuse(Section::Engine);
            return;
        };
        let all = entries(table);
        for &entry in &all {
            if entry.key == "cam" {
                draft.cam = self.label(entry.key, entry.value, "cam = \"the one in the boat\"").map(|text| text.value);
                continue;
            }
            let known = self.check_key(entry, &ENGINE);
            let amount = if known { self.size(entry) } else { None };
            if amount.is_none() {
                draft.refuse(Section::Engine);
            }
            let sizes = &mut draft.engine;
            match entry.key {
                "bore" => sizes.bore = amount,
                "stroke" => sizes.stroke = amount,
                "rod_length" => sizes.rod_length = amount,
                "deck_height" => sizes.deck_height = amount,
                "lobe_lift" => sizes.lobe_lift = amount,
                "reference_lobe" => sizes.reference_lobe = amount,
                "crown_allowance" => sizes.crown_allowance = amount,
                "crevice" | "crevice_cc" => sizes.crevice = amount.or(sizes.crevice),
                _ => {}
            }
        }
        let entry = |key: &str| all.iter().find(|entry| entry.key == key);
        if let (Some(first), Some(second)) = (entry("crevice"), entry("crevice_cc")) {
            let item = Diagnostic::wrong(Code::JobUnknownKey, "`crevice` and `crevice_cc` are the same size")
                .at(self.place(second.key_span()), "in cubic centimetres")
                .at(self.place(first.key_span()), "with its unit")
                .help("keep one of them");
            self.report(item);
        }
    }

    /// A size of the engine; a key may end with its unit, as in `crevice_cc`.
    fn size(&mut self, entry: Entry<'_>) -> Option<Amount> {
        match entry.key.strip_suffix("_cc") {
            Some(stem) => Bound::named(stem).and_then(|bound| self.amount_in(entry, bound, Unit::CubicCentimetre)),
            None => Bound::named(entry.key).and_then(|bound| self.amount(entry, bound)),
        }
    }

    fn matches(&mut self, value: &Spanned<DeValue<'_>>, draft: &mut Draft) {
        let tables = match value.get_ref() {
            DeValue::Array(array) => Some(array),
            _ => None,
        };
        let Some(tables) = tables.filter(|array| array.iter().all(|item| item.get_ref().is_table())) else {
            let item = Diagnostic::wrong(Code::JobType, "there can be several matches: write `[[match]]`")
                .at(self.place(value.span()), "")
                .help("put the word `match` into two pairs of brackets");
            self.report(item);
            draft.broken = true;
            return;
        };
        self.kinds = draft.stocks.iter().map(|file| file.kind.value.clone()).collect();
        for (index, item) in tables.iter().enumerate() {
            if let DeValue::Table(table) = item.get_ref() {
                let read = matching::read(self, table, item.span(), index);
                draft.matches.push(read);
            }
        }
    }
}
