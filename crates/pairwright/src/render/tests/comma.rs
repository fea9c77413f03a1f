//! CSV: what a spreadsheet gets.

use super::sample;
use crate::render::match_csv;

#[test]
fn plans_as_rows() {
    let (job, report) = sample::several();
    insta::assert_snapshot!("several_csv", match_csv(&job, &report).replace('\r', ""));
}

#[test]
fn every_row_has_every_column_and_units_stand_in_the_header() {
    for (name, job, report) in sample::all() {
        let text = match_csv(&job, &report);
        assert_eq!(text.matches('\n').count(), text.matches("\r\n").count(), "{name}");
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let header = reader.headers().expect("a header").clone();
        let rows: Vec<_> = reader.records().collect::<Result<_, _>>().expect("rows as long as the header");
        let planned = report
            .matches
            .iter()
            .filter(|one| matches!(one.outcome, pairwright_engine::outcome::Outcome::Planned(_)))
            .count();
        assert_eq!(rows.len(), planned * 4, "{name}");
        if planned > 0 {
            for column in
                ["match", "position", "bank", "piston", "piston_comes_from", "deck_in", "deck_u_in", "mass_high_g"]
            {
                assert!(header.iter().any(|known| known == column), "{name}: {column}");
            }
        }
    }
}

#[test]
fn labels_survive_quoting_and_a_plan_at_face_value_is_left_out() {
    let (job, report) = sample::hostile();
    let text = match_csv(&job, &report);
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let rows: Vec<_> = reader.records().collect::<Result<_, _>>().expect("rows");
    assert_eq!(&rows[1][4], "=1+1,\"quoted\"");
    let (job, report) = sample::impossible();
    assert_eq!(match_csv(&job, &report).lines().count(), 1);
}
