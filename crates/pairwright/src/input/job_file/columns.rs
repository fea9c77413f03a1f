//! Columns as declared fits name them: `piston.diameter`.

use pairwright_engine::quantity::Dimension;

use super::walk::Walk;
use super::{At, Draft, Headings, Section};
use crate::diagnostic::{Code, Diagnostic};
use crate::input::kinds::{self, KINDS};
use crate::input::nearest::{listed, remedy};
use crate::input::positions;
use crate::input::sheet::{Sheet, split_unit};
use crate::noun::plural;

/// The kinds of positions that have columns of their own.
const POSITIONS: [&str; 2] = ["cylinder", "valve"];

/// A column that was found.
pub(super) struct Column {
    /// The kind whose file it stands in.
    pub(super) owner: String,
    pub(super) name: String,
    /// `None` where only the fit can say it.
    pub(super) dimension: Option<Dimension>,
    /// Its file knows it without being told.
    pub(super) built_in: bool,
}

/// Whether a fit or a column may be called so: small letters, digits and single underscores, from a letter on.
pub(super) fn is_word(name: &str) -> bool {
    let plain = name.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit() || byte == b'_');
    plain && name.starts_with(|c: char| c.is_ascii_lowercase()) && !name.ends_with('_') && !name.contains("__")
}

/// The column that a term names; `None` after a report, and where what it depends on was refused.
pub(super) fn find(walk: &mut Walk<'_>, draft: &Draft, at: &At<String>, headings: Headings<'_>) -> Option<Column> {
    let Some((owner, name)) = at.value.split_once('.') else {
        let item = Diagnostic::wrong(Code::FitTerm, format!("`{}` does not say whose column it is", at.value))
            .at(walk.place(at.span.clone()), "")
            .help("write it as `piston.diameter`: the kind, a point, the column");
        walk.report(item);
        return None;
    };
    let (file, sheet) = file(walk, draft, at, draft.kind_of(owner))?;
    let known = sheet.measure(name).filter(|known| known.limit.is_none() && sheet.measured.contains(&known.name));
    let built_in = known.is_some();
    let dimension = known.map(|known| known.bound.dimension);
    if dimension == Some(Dimension::Money) || !(built_in || may_be_declared(&sheet, name)) {
        walk.report(not_measured(name, &sheet).at(walk.place(at.span.clone()), ""));
        return None;
    }
    let there = headings(&file, &sheet);
    let stands = |heading: &str| split_unit(heading).0 == name || (heading == name);
    let heading = there.as_ref().map(|all| all.iter().find(|heading| stands(heading)));
    if let (Some(None), Some(all)) = (heading, &there) {
        let stems: Vec<_> = all.iter().map(|heading| split_unit(heading).0).collect();
        let stems: Vec<_> = stems.into_iter().filter(|stem| may_be_declared(&sheet, stem)).collect();
        let help = if stems.is_empty() {
            format!("measure it and add the column `{name}`")
        } else {
            remedy(name, &stems, &format!("measure it and add the column `{name}`; the file has"))
        };
        let item = Diagnostic::wrong(Code::FitColumn, format!("`{file}` has no column `{name}`"))
            .at(walk.place(at.span.clone()), "")
            .help(help);
        walk.report(item);
        return None;
    }
    let by_unit = || split_unit(heading.flatten()?).1.map(pairwright_engine::quantity::Unit::dimension);
    Some(Column {
        owner: draft.kind_of(owner).to_owned(),
        name: name.to_owned(),
        dimension: dimension.or_else(by_unit),
        built_in,
    })
}

/// The file of a kind and what it may hold; `None` after a report.
fn file<'d>(walk: &mut Walk<'_>, draft: &'d Draft, at: &At<String>, owner: &str) -> Option<(String, Sheet<'d>)> {
    let positions =
        draft.positions.iter().map(|file| (file, positions::sheet(&file.kind.value, "a positions file", &[])));
    let stocks = draft.stocks.iter().map(|file| (file, kinds::sheet(&file.kind.value, "a stock")));
    if let Some((file, sheet)) = positions.chain(stocks).find(|(file, _)| file.kind.value == owner) {
        return Some((file.file.value.clone(), sheet));
    }
    let (section, refused) =
        if POSITIONS.contains(&owner) { ("positions", Section::Positions) } else { ("stock", Section::Stock) };
    if draft.is_refused(refused) || draft.aliases_hidden {
        return None;
    }
    let known = POSITIONS.iter().chain(KINDS).copied();
    let own = draft.positions.iter().chain(&draft.stocks).map(|file| file.kind.value.as_str());
    let mut all: Vec<&str> = known.collect();
    all.extend(own.filter(|kind| !POSITIONS.contains(kind) && !KINDS.contains(kind)));
    all.extend(draft.aliases.iter().map(|(name, _)| name.as_str()));
    let item = if all.contains(&owner) {
        Diagnostic::wrong(Code::FitTerm, format!("no file says anything of the {}", plural(owner)))
            .help(format!("add `{owner} = \"{}.csv\"` under `[{section}]`", plural(owner)))
    } else {
        let message = format!("there are no parts or positions called `{owner}`");
        Diagnostic::wrong(Code::FitTerm, message).help(remedy(owner, &all, "before the point stands one of"))
    };
    walk.report(item.at(walk.place(at.span.clone()), ""));
    None
}

/// Whether a column of this name can be one of the job's own.
fn may_be_declared(sheet: &Sheet<'_>, name: &str) -> bool {
    let special = ["u_", "min_", "max_", "note"].iter().any(|start| name.starts_with(start));
    is_word(name) && !special && split_unit(name).1.is_none() && !sheet.knows(name)
}

/// The report of a column that holds nothing to add up.
fn not_measured(name: &str, sheet: &Sheet<'_>) -> Diagnostic {
    let (stem, unit) = split_unit(name);
    let help = if unit.is_some() && is_word(stem) {
        format!("write the column's name without its unit: `{stem}`")
    } else if sheet.numbered.is_some_and(|numbered| name.starts_with(numbered.stem)) {
        "a head has several chambers, and a position only one of them; the fit `clearance_volume` picks the right one"
            .to_owned()
    } else {
        let measured: Vec<_> = sheet.measured.iter().copied().filter(|known| *known != "price").collect();
        format!(
            "name a column that holds a measured value: {}, or one of your own, a word of small letters, digits and \
             underscores",
            listed(&measured)
        )
    };
    Diagnostic::wrong(Code::FitTerm, format!("`{name}` is no column that a fit can add up")).help(help)
}
