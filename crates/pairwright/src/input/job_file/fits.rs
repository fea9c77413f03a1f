//! `[fit.NAME]`: the fits that a job declares.

use pairwright_engine::job::{DeclaredFit, DeclaredFits, FitName, Term};
use pairwright_engine::quantity::{Decimal, Dimension, Unit};
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::columns::{self, Column};
use super::walk::{Entry, Keys, Walk, entries};
use super::{At, Draft, Headings};
use crate::diagnostic::{Code, Diagnostic};
use crate::input::declared::FitColumn;

const FIT: Keys = Keys { section: "a declared fit", known: &["plus", "minus", "measures"], later: &[] };
const TERM: Keys = Keys { section: "a term of a fit", known: &["column", "times"], later: &[] };

const EXAMPLE: &str = "[fit.end_float]";
const TERMS_EXAMPLE: &str = "plus = [\"cylinder.bore\"]";

/// Words that stand beside fits in `then`.
const TAKEN: [&str; 3] = ["moves", "price", "bought"];

/// So many terms are the most.
const MOST_TERMS: usize = 32;
/// The largest factor, in millionths.
const MOST_TIMES: i64 = 10 * Term::ONCE;

/// A term whose column is not yet looked up.
struct Named {
    at: At<String>,
    times: i64,
}

/// Reads the section; every fit gets its name, even one that is refused, so that what refers to it is not reported too.
pub(super) fn read(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut Draft, headings: Headings<'_>) {
    let Some(table) = walk.table(entry, EXAMPLE) else {
        walk.fits_hidden = true;
        draft.declared.refused = true;
        return;
    };
    let (mut fits, mut hidden) = (Vec::new(), false);
    for inner in entries(table) {
        if !is_name(walk, inner) {
            hidden = true;
            continue;
        }
        let Some(table) = walk.table(inner, EXAMPLE) else {
            hidden = true;
            continue;
        };
        if fits.len() == DeclaredFits::MOST {
            let item = Diagnostic::wrong(Code::FitName, format!("more than {} fits are declared", DeclaredFits::MOST))
                .at(walk.place(inner.key_span()), "")
                .help("take out those that no match asks for");
            walk.report(item);
            hidden = true;
            break;
        }
        fits.push(one(walk, inner, table, draft, headings));
    }
    draft.declared.fits = DeclaredFits::new(fits);
    walk.fits = draft.declared.fits.clone();
    walk.fits_hidden = hidden;
    draft.declared.refused |= hidden;
}

/// Whether a fit may be called so.
fn is_name(walk: &mut Walk<'_>, entry: Entry<'_>) -> bool {
    let name = entry.key;
    let help = "write a word of small letters, digits and underscores that starts with a letter, as in \
                `[fit.main_clearance]`";
    let (message, help) = if FIT.known.contains(&name) && !entry.value.get_ref().is_table() {
        ("the fit has no name".to_owned(), help)
    } else if FitName::built_in_named(name).is_some() {
        (format!("`{name}` is a fit already"), "give yours another name")
    } else if TAKEN.contains(&name) {
        (format!("`{name}` has a meaning of its own in `then`"), "give the fit another name")
    } else if !columns::is_word(name) {
        (format!("a fit cannot be called `{name}`"), help)
    } else {
        return true;
    };
    walk.report(Diagnostic::wrong(Code::FitName, message).at(walk.place(entry.key_span()), "").help(help));
    false
}

fn one(
    walk: &mut Walk<'_>,
    entry: Entry<'_>,
    table: &DeTable<'_>,
    draft: &mut Draft,
    headings: Headings<'_>,
) -> DeclaredFit {
    let (mut named, mut sound, mut measures) = (Vec::new(), true, None);
    for inner in entries(table) {
        sound &= walk.check_key(inner, &FIT);
        match inner.key {
            "plus" => sound &= terms(walk, inner, Term::ONCE, &mut named),
            "minus" => sound &= terms(walk, inner, -Term::ONCE, &mut named),
            "measures" => {
                let words = [
                    ("length", Dimension::Length),
                    ("volume", Dimension::Volume),
                    ("mass", Dimension::Mass),
                    ("number", Dimension::Ratio),
                ];
                measures = walk.word(inner, &words).map(|value| At { value, span: inner.value.span() });
            }
            _ => {}
        }
    }
    let (message, code) = match named.len() {
        0 if sound => (format!("the fit `{}` adds nothing up", entry.key), Code::JobMissingKey),
        0..=MOST_TERMS => (String::new(), Code::FitTerm),
        many => (format!("the fit `{}` has {many} terms; {MOST_TERMS} are the most", entry.key), Code::FitTerm),
    };
    if !message.is_empty() {
        let item = Diagnostic::wrong(code, message)
            .at(walk.place(entry.key_span()), "")
            .help(format!("name the measured columns it is made of, as in `{TERMS_EXAMPLE}`"));
        walk.report(item);
        named.clear();
    }
    let found: Vec<_> = named.iter().map(|term| columns::find(walk, draft, &term.at, headings)).collect();
    draft.declared.refused |= !sound || found.iter().any(Option::is_none);
    let known: Vec<&Column> = found.iter().flatten().collect();
    let first = known.iter().find_map(|column| column.dimension);
    let dimension = measures.as_ref().map(|measures| measures.value).or(first).unwrap_or(Dimension::Length);
    check_measures(walk, measures.as_ref(), &named, &found, dimension);
    for (term, column) in named.iter().zip(&found) {
        if let Some(column) = column {
            remember(walk, draft, &term.at, column, dimension);
        }
    }
    let terms = named.iter().zip(found).filter_map(|(named, column)| {
        // The name that the job uses, which may be that of a role.
        let owner = named.at.value.split_once('.').map(|(owner, _)| owner.to_owned());
        let Column { owner: kind, name, .. } = column?;
        Some(Term { owner: owner.unwrap_or(kind), column: name, times: named.times })
    });
    DeclaredFit::new(entry.key.to_owned(), terms.collect(), dimension)
}

/// Reads `plus` or `minus`; `true` where every term could be read.
fn terms(walk: &mut Walk<'_>, entry: Entry<'_>, sign: i64, into: &mut Vec<Named>) -> bool {
    let before = into.len();
    let wanted = if let DeValue::Array(array) = entry.value.get_ref() {
        into.extend(array.iter().filter_map(|item| term(walk, entry.key, item, sign)));
        array.len()
    } else {
        into.extend(term(walk, entry.key, entry.value, sign));
        1
    };
    into.len() - before == wanted
}

/// `"piston.mass"`, or `{ column = "piston.mass", times = 0.5 }`.
fn term(walk: &mut Walk<'_>, key: &str, value: &Spanned<DeValue<'_>>, sign: i64) -> Option<Named> {
    match value.get_ref() {
        DeValue::String(text) => {
            Some(Named { at: At { value: text.trim().to_owned(), span: value.span() }, times: sign })
        }
        DeValue::Table(table) => {
            let all = entries(table);
            let mut sound = true;
            for &inner in &all {
                sound &= walk.check_key(inner, &TERM);
            }
            let entry = |name: &str| all.iter().copied().find(|inner| inner.key == name);
            let Some(column) = entry("column") else {
                let item = Diagnostic::wrong(Code::JobMissingKey, "the term does not say which column")
                    .at(walk.place(value.span()), "")
                    .help("write it as `{ column = \"piston.mass\", times = 0.5 }`");
                walk.report(item);
                return None;
            };
            let at = walk.text(column, "column = \"piston.mass\"");
            let times = entry("times").map_or(Some(Term::ONCE), |entry| times(walk, entry));
            sound.then_some(Named { at: at?, times: sign.signum() * times? })
        }
        _ => {
            walk.wrong_type(key, value, "columns", TERMS_EXAMPLE);
            None
        }
    }
}

/// The factor in millionths.
fn times(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<i64> {
    let text = walk.number_text(entry, "times = 0.5")?;
    let decimal = Decimal::parse(&text, entry.value.get_ref().is_str()).ok();
    let times = decimal.map(|decimal| decimal.times(Unit::One.ticks()));
    let (code, message, help) = match times {
        None => (Code::JobNumber, format!("times: `{text}` is not a number"), "write it as `times = 0.5`"),
        Some(Some((0, _))) => {
            (Code::JobOutOfRange, format!("times: with `{text}` the column would not count"), "take the term out")
        }
        Some(Some((times, true))) if (1..=MOST_TIMES).contains(&times) => return Some(times),
        Some(Some((times, _))) if times < 0 => {
            let help = "move the term from `plus` to `minus`, or the other way round";
            (Code::JobOutOfRange, format!("times: `{text}` is negative"), help)
        }
        Some(Some((1..=MOST_TIMES, false))) => {
            (Code::JobOutOfRange, format!("times: `{text}` has more than six decimals"), "round it to six decimals")
        }
        Some(_) => (Code::JobOutOfRange, format!("times: `{text}` is more than 10"), "check the place of the point"),
    };
    walk.report(Diagnostic::wrong(code, message).at(walk.place(entry.value.span()), "").help(help));
    None
}

/// Reports the first term that measures something else than the fit.
fn check_measures(
    walk: &mut Walk<'_>,
    measures: Option<&At<Dimension>>,
    named: &[Named],
    found: &[Option<Column>],
    dimension: Dimension,
) {
    let measured = |(term, column): (&'_ Named, &Option<Column>)| Some((term.at.clone(), column.as_ref()?.dimension?));
    let all: Vec<(At<String>, Dimension)> = named.iter().zip(found).filter_map(measured).collect();
    let Some((other, found)) = all.iter().find(|(_, found)| *found != dimension) else { return };
    let (message, first) = match (measures, all.iter().find(|(_, found)| *found == dimension)) {
        (Some(measures), _) => (
            format!("`{}` is {} and the fit measures {}", other.value, a(*found), a(dimension)),
            Some((measures.span.clone(), "stated here".to_owned())),
        ),
        (None, Some((first, _))) => (
            format!("`{}` is {} and `{}` is {}", first.value, a(dimension), other.value, a(*found)),
            Some((first.span.clone(), a(dimension).to_owned())),
        ),
        (None, None) => return,
    };
    let mut item = Diagnostic::wrong(Code::FitMixed, message).at(walk.place(other.span.clone()), a(*found));
    if let Some((span, label)) = first {
        item = item.at(walk.place(span), label);
    }
    walk.report(item.help(
        "add up lengths with lengths, masses with masses, volumes with volumes, plain numbers with \
                           plain numbers",
    ));
}

/// Keeps the column for the reader of its file.
fn remember(walk: &mut Walk<'_>, draft: &mut Draft, at: &At<String>, column: &Column, dimension: Dimension) {
    let Some(before) = draft.declared.column(&column.owner, &column.name) else {
        let new = if column.built_in {
            FitColumn::built_in(&column.owner, &column.name)
        } else {
            let of_a_part = draft.stocks.iter().any(|file| file.kind.value == column.owner);
            FitColumn::own(&column.owner, &column.name, column.dimension.unwrap_or(dimension), of_a_part)
        };
        draft.declared.columns.push(new);
        return;
    };
    if let Some(other) = before.own_dimension().filter(|other| *other != column.dimension.unwrap_or(dimension)) {
        let message = format!("`{}` is {} here and {} in an earlier fit", at.value, a(dimension), a(other));
        let item = Diagnostic::wrong(Code::FitMixed, message)
            .at(walk.place(at.span.clone()), "")
            .help("a column measures one thing: name its unit in the header, or correct `measures`");
        walk.report(item);
    }
}

/// A dimension with its article.
const fn a(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Length => "a length",
        Dimension::Volume => "a volume",
        Dimension::Mass => "a mass",
        Dimension::Ratio => "a plain number",
        Dimension::Money => "a price",
    }
}
