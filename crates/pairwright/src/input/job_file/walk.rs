//! Reading typed values out of a TOML table, with a report where the type is wrong.

use std::ops::Range;

use pairwright_engine::job::{DeclaredFits, FitName};
use pairwright_engine::quantity::{Amount, AmountError, Bound, Dimension, Expected, Unit};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::At;
use crate::diagnostic::{Code, Collector, Diagnostic, Place, Source};
use crate::input::declared::value_bound;
use crate::input::misread;
use crate::input::nearest::remedy;

/// The job file being walked.
pub(super) struct Walk<'a> {
    pub(super) source: &'a Source,
    pub(super) found: &'a mut Collector,
    /// The job's unit, once it is known.
    pub(super) units: Option<Unit>,
    /// The fits that the job declares, once they are known.
    pub(super) fits: DeclaredFits,
    /// Some of them were refused: a fit that is not found may be one of those.
    pub(super) fits_hidden: bool,
    /// The kinds that the job has in stock, once they are known.
    pub(super) kinds: Vec<String>,
}

/// One `key = value`.
#[derive(Clone, Copy)]
pub(super) struct Entry<'t> {
    pub(super) key: &'t str,
    pub(super) key_span: (usize, usize),
    pub(super) value: &'t Spanned<DeValue<'t>>,
}

impl Entry<'_> {
    pub(super) fn key_span(&self) -> Range<usize> {
        self.key_span.0..self.key_span.1
    }

    pub(super) fn key_at(&self) -> At<String> {
        At { value: self.key.to_owned(), span: self.key_span() }
    }
}

/// The entries of `table` as they stand in the file.
pub(super) fn entries<'t>(table: &'t DeTable<'t>) -> Vec<Entry<'t>> {
    let entry = |(key, value): (&'t Spanned<_>, &'t Spanned<DeValue<'t>>)| {
        let key: &'t Spanned<std::borrow::Cow<'t, str>> = key;
        let span = key.span();
        Entry { key: key.get_ref(), key_span: (span.start, span.end), value }
    };
    let mut all: Vec<_> = table.iter().map(entry).collect();
    all.sort_by_key(|entry| entry.key_span);
    all
}

/// What a section may hold.
pub(super) struct Keys {
    /// How the section is called in messages: `` `[engine]` ``.
    pub(super) section: &'static str,
    pub(super) known: &'static [&'static str],
    /// Planned, and not done by this version.
    pub(super) later: &'static [&'static str],
}

impl Walk<'_> {
    pub(super) fn place(&self, span: Range<usize>) -> Place {
        self.source.place(span)
    }

    pub(super) fn report(&mut self, item: Diagnostic) {
        self.found.push(item);
    }

    /// The text of a value as typed.
    pub(super) fn typed(&self, value: &Spanned<DeValue<'_>>) -> &str {
        self.source.text().get(value.span()).unwrap_or("")
    }

    /// Reports `entry` if the section does not have its key; `true` if it has.
    pub(super) fn check_key(&mut self, entry: Entry<'_>, keys: &Keys) -> bool {
        if keys.known.contains(&entry.key) {
            return true;
        }
        let place = self.place(entry.key_span());
        let there_are = format!("{} has the keys", keys.section);
        let item = if keys.later.contains(&entry.key) {
            not_yet(entry.key, keys).at(place, "")
        } else {
            Diagnostic::wrong(Code::JobUnknownKey, format!("{} has no key `{}`", keys.section, entry.key))
                .at(place, "")
                .help(remedy(entry.key, keys.known, &there_are))
        };
        self.report(item);
        false
    }

    /// Reports that `entry` takes `wanted` and holds something else.
    pub(super) fn wrong_type(&mut self, key: &str, value: &Spanned<DeValue<'_>>, wanted: &str, example: &str) {
        let is = type_phrase(value.get_ref());
        let item = Diagnostic::wrong(Code::JobType, format!("`{key}` takes {wanted}, and this is {is}"))
            .at(self.place(value.span()), "")
            .help(format!("write it as `{example}`"));
        self.report(item);
    }

    /// A table.
    pub(super) fn table<'t>(&mut self, entry: Entry<'t>, example: &str) -> Option<&'t DeTable<'t>> {
        match entry.value.get_ref() {
            DeValue::Table(table) => Some(table),
            DeValue::Array(array) if array.iter().any(|item| item.get_ref().is_table()) => {
                let span = array.first().map_or_else(|| entry.value.span(), Spanned::span);
                let item =
                    Diagnostic::wrong(Code::JobType, format!("there is one `{0}` section: write `[{0}]`", entry.key))
                        .at(self.place(span), "")
                        .help("take away one pair of brackets");
                self.report(item);
                None
            }
            _ => {
                self.wrong_type(entry.key, entry.value, "a section of its own", example);
                None
            }
        }
    }

    /// Text in quotes.
    pub(super) fn text(&mut self, entry: Entry<'_>, example: &str) -> Option<At<String>> {
        if let DeValue::String(text) = entry.value.get_ref() {
            return Some(At { value: text.trim().to_owned(), span: entry.value.span() });
        }
        self.wrong_type(entry.key, entry.value, "text in quotes", example);
        None
    }

    /// A label: text, or a whole number taken as text.
    pub(super) fn label(&mut self, key: &str, value: &Spanned<DeValue<'_>>, example: &str) -> Option<At<String>> {
        let text = match value.get_ref() {
            DeValue::String(text) => text.trim().to_owned(),
            DeValue::Integer(_) => self.typed(value).to_owned(),
            _ => {
                self.wrong_type(key, value, "a label", example);
                return None;
            }
        };
        Some(At { value: text, span: value.span() })
    }

    /// Yes or no.
    pub(super) fn flag(&mut self, entry: Entry<'_>) -> Option<bool> {
        let flag = entry.value.get_ref().as_bool();
        if flag.is_none() {
            self.wrong_type(entry.key, entry.value, "true or false", &format!("{} = true", entry.key));
        }
        flag
    }

    /// One of a few words.
    pub(super) fn word<T: Copy>(&mut self, entry: Entry<'_>, words: &[(&'static str, T)]) -> Option<T> {
        let first = words.first().map_or("", |(word, _)| word);
        let text = self.text(entry, &format!("{} = \"{first}\"", entry.key))?;
        let known = words.iter().find(|(word, _)| *word == text.value);
        if known.is_none() {
            let names: Vec<_> = words.iter().map(|(word, _)| *word).collect();
            let item = Diagnostic::wrong(Code::JobWord, format!("`{}` cannot be `{}`", entry.key, text.value))
                .at(self.place(text.span), "")
                .help(remedy(&text.value, &names, &format!("`{}` takes", entry.key)));
            self.report(item);
        }
        known.map(|&(_, value)| value)
    }

    /// The digits of a number, or the text of a string.
    pub(super) fn number_text(&mut self, entry: Entry<'_>, example: &str) -> Option<String> {
        match entry.value.get_ref() {
            DeValue::String(text) => Some(text.trim().to_owned()),
            DeValue::Integer(number) if number.radix() == 10 => Some(self.typed(entry.value).replace('_', "")),
            DeValue::Float(_) => Some(self.typed(entry.value).replace('_', "")),
            _ => {
                self.wrong_type(entry.key, entry.value, "a number", example);
                None
            }
        }
    }

    /// A value: a number in the job's unit, or text with its own.
    pub(super) fn amount(&mut self, entry: Entry<'_>, bound: &'static Bound) -> Option<Amount> {
        let unit = match bound.dimension {
            Dimension::Length => self.units,
            Dimension::Ratio => Some(Unit::One),
            Dimension::Money => Some(Unit::Money),
            Dimension::Volume | Dimension::Mass => None,
        };
        self.amount_from(entry, bound, unit)
    }

    /// The range of the values of a fit.
    pub(super) fn value_bound(&self, fit: FitName) -> Option<&'static Bound> {
        value_bound(&self.fits, fit)
    }

    /// A value whose key says its unit: a bare number is in `unit`.
    pub(super) fn amount_in(&mut self, entry: Entry<'_>, bound: &'static Bound, unit: Unit) -> Option<Amount> {
        self.amount_from(entry, bound, Some(unit))
    }

    fn amount_from(&mut self, entry: Entry<'_>, bound: &'static Bound, unit: Option<Unit>) -> Option<Amount> {
        let example = match bound.dimension {
            Dimension::Length => format!("{} = \"0.5 mm\"", entry.key),
            Dimension::Volume => format!("{} = \"2 cc\"", entry.key),
            Dimension::Mass => format!("{} = \"2 g\"", entry.key),
            Dimension::Ratio | Dimension::Money => format!("{} = 1", entry.key),
        };
        let text = self.number_text(entry, &example)?;
        // In text there is nothing that a decimal comma could be taken for.
        let comma = entry.value.get_ref().is_str();
        let error = match Amount::parse(&text, &Expected { bound, unit, comma }) {
            Ok(amount) => return Some(amount),
            // `units` is missing or was refused, and that has been reported.
            Err(AmountError::NoUnit { .. }) if bound.dimension == Dimension::Length => return None,
            Err(error) => error,
        };
        let code = match error {
            AmountError::OutOfRange { .. } => Code::JobOutOfRange,
            _ => Code::JobNumber,
        };
        let place = self.place(entry.value.span());
        // An uncertainty goes by what it is one of.
        let is_uncertainty = bound.name.strip_prefix("u_") == Some(entry.key);
        let name = if is_uncertainty { format!("{} in `[uncertainty]`", entry.key) } else { entry.key.to_owned() };
        if let Some((message, help)) = misread::meant(&name, &text, &Expected { bound, unit, comma }) {
            self.report(Diagnostic::wrong(code, message).at(place, "").help(help));
            return None;
        }
        let help = match &error {
            AmountError::OutOfRange { value, likely: Some(likely), .. } => {
                format!("is this in {}? then write `{} = \"{value} {likely}\"`", likely.plural(), entry.key)
            }
            AmountError::NoUnit { text, example, .. } => format!("write `{} = \"{text} {example}\"`", entry.key),
            error => error.hint().unwrap_or_else(|| "check the digits and the place of the point".to_owned()),
        };
        let said = error.to_string();
        let said = match said.strip_prefix(bound.name) {
            Some(rest) if is_uncertainty => name + rest,
            _ => said,
        };
        self.report(Diagnostic::wrong(code, said).at(place, "").help(help));
        None
    }
}

/// The report that something planned is not there yet, without its place.
pub(super) fn not_yet(what: &str, keys: &Keys) -> Diagnostic {
    let known = crate::input::nearest::listed(keys.known);
    Diagnostic::wrong(Code::JobNotYet, format!("`{what}` is not supported yet"))
        .help(format!("take it out for now; {} supports {known}", keys.section))
}

fn type_phrase(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "a number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
