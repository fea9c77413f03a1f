//! Headers that a sheet does not know, and what was probably meant.

use pairwright_engine::quantity::{Bound, Dimension, Unit};

use crate::diagnostic::{Code, Diagnostic};
use crate::input::nearest::{listed, remedy};
use crate::input::sheet::{Known, Sheet, normal, split_unit};
use crate::input::table::Table;

fn units_of(dimension: Dimension) -> Vec<&'static str> {
    Unit::WRITTEN.into_iter().filter(|unit| unit.dimension() == dimension).map(Unit::symbol).collect()
}

/// What a header may say; a length is shown in the job's own unit.
pub(super) fn unit_help(name: &str, bound: &Bound, job: Option<Unit>) -> String {
    let units = units_of(bound.dimension);
    let own = job.filter(|unit| unit.dimension() == bound.dimension).map(Unit::symbol);
    match own.or(units.first().copied()) {
        Some(first) => {
            format!(
                "name the unit in the header, as in `{}_{first}`; a {} takes {}",
                name,
                bound.dimension,
                listed(&units)
            )
        }
        None => format!("write `{name}` alone"),
    }
}

/// Words of the bench and of spreadsheets for columns that are called otherwise here.
const OTHER_WORDS: &[(&str, &[&str])] = &[
    ("id", &["piston", "rod", "head", "gasket", "part", "name", "label", "mark", "no", "number", "part_no"]),
    ("cylinder", &["cyl", "hole", "cylinder_no"]),
    ("diameter", &["dia", "piston_diameter"]),
    ("compression_height", &["pin_height", "comp_height"]),
    ("mass", &["weight"]),
    ("reading", &["value", "dial"]),
    ("bank", &["fits"]),
    ("fits", &["bank"]),
];

/// The name that a header in other signs or with another word for it was meant to be, unless a column has it already.
pub(super) fn meant_by(table: &Table<'_>, sheet: &Sheet<'_>, name: &str) -> Option<String> {
    let words = name.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty());
    let plain = words.collect::<Vec<_>>().join("_");
    let (stem, unit) = split_unit(&plain);
    let usual = OTHER_WORDS.iter().find(|(wanted, words)| sheet.names().contains(wanted) && words.contains(&stem));
    let meant = match (usual, unit) {
        (Some((wanted, _)), Some(unit)) => format!("{wanted}_{unit}"),
        (Some((wanted, _)), None) => (*wanted).to_owned(),
        (None, _) => plain.clone(),
    };
    let taken = table.header.iter().any(|heading| split_unit(&normal(&heading.text)).0 == split_unit(&meant).0);
    (meant != name && !meant.is_empty() && !taken && sheet.knows(&meant)).then_some(meant)
}

pub(super) fn unknown_column(
    table: &Table<'_>,
    at: usize,
    sheet: &Sheet<'_>,
    name: &str,
    units: Option<Unit>,
) -> Diagnostic {
    let heading = table.header[at].text.as_str();
    let place = table.heading_place(at);
    let meant = meant_by(table, sheet, name);
    if let Some((stem, unit)) = name.rsplit_once('_').filter(|_| meant.is_none())
        && let Some(Known { bound, .. }) = sheet.measure(stem)
    {
        return Diagnostic::wrong(Code::CsvColumnUnit, format!("`{unit}` in `{heading}` is no unit"))
            .at(place, "")
            .help(unit_help(stem, bound, units));
    }
    let (stem, _) = split_unit(name);
    let mut there_are = format!("{} has the columns", sheet.what);
    if sheet.uncertainties {
        there_are.insert_str(0, "besides `u_NAME` and `note` columns ");
    }
    let help = match meant {
        Some(meant) => format!("did you mean `{meant}`? {there_are} {}", listed(&sheet.names())),
        None => remedy(stem, &sheet.names(), &there_are),
    };
    Diagnostic::wrong(Code::CsvUnknownColumn, format!("nothing uses a column `{heading}`")).at(place, "").help(help)
}
