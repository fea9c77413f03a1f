use super::*;
use crate::diagnostic::Sources;

const SHEET: Sheet<'_> =
    Sheet { what: "a piston stock", texts: &["id", "at"], measured: &["diameter", "mass", "price"], ..Sheet::PARTS };

fn roles(text: &str) -> (Option<Vec<Role>>, Vec<Code>) {
    let source = Source::new("p.csv".into(), text.into());
    let mut found = Collector::default();
    let roles = open(&source, &SHEET, Some(Unit::Inch), &mut found).map(|columns| columns.roles);
    (roles, found.finish(&Sources::default()).into_iter().map(|item| item.code).collect())
}

#[test]
fn a_header_names_quantity_and_unit() {
    let (roles, codes) = roles("ID,Diameter mm,u_diameter,mass_oz,price,note\n");
    assert_eq!(codes, []);
    let units: Vec<_> = roles
        .expect("sound")
        .iter()
        .map(|role| if let Role::Measured(measure) = role { measure.expected.unit } else { None })
        .collect();
    assert_eq!(units, [None, Some(Unit::Millimetre), Some(Unit::Inch), Some(Unit::Ounce), Some(Unit::Money), None]);
}

#[test]
fn units_that_do_not_fit_are_refused() {
    for header in ["id,mass", "id,mass_mm", "id,diameter_g", "id,diameter_inch"] {
        assert_eq!(roles(header).1, [Code::CsvColumnUnit], "{header}");
    }
}

#[test]
fn the_separator_is_chosen_only_when_certain() {
    assert_eq!(roles("id;mass_g").1, [Code::NoteSeparator]);
    assert_eq!(roles("id\tmass_g").1, [Code::NoteSeparator]);
    assert_eq!(roles("id;mass_g;note, free").1, [Code::NoteSeparator, Code::NoteColumn]);
    assert_eq!(roles("id;mass_g,price").1, [Code::CsvSeparator]);
}

#[test]
fn a_misspelt_id_is_one_error() {
    assert_eq!(roles("idd,mass_g").1, [Code::CsvUnknownColumn]);
    assert_eq!(roles("at,mass_g").1, [Code::CsvMissingColumn]);
}
