use std::collections::BTreeSet;

use super::*;

#[test]
fn every_code_is_in_the_error_index_and_no_other() {
    let index = include_str!("../../../../docs/errors.md");
    let documented: BTreeSet<_> =
        index.lines().filter_map(|line| line.strip_prefix("### `")?.strip_suffix('`')).collect();
    let known: BTreeSet<_> = Code::ALL.iter().map(|code| code.text()).collect();
    assert_eq!(known, documented);
    assert_eq!(known.len(), Code::ALL.len(), "two codes share a text");
}

#[test]
fn lines_are_counted_as_an_editor_counts_them() {
    let source = Source::new("pistons.csv".into(), "\u{feff}id;ö\r\nA;1\r\n".into());
    let place = source.place(7..8);
    assert_eq!((place.line, place.column, &source.text()[place.span.clone()]), (2, 1, "A"));
    let column = source.place(5..5).column;
    assert_eq!(column, 5, "characters, not bytes");
}

#[test]
fn a_column_full_of_one_mistake_is_counted_not_listed() {
    let mut found = Collector::default();
    let mut sources = Sources::default();
    let source = sources.add(Source::new("p.csv".into(), "id\n".repeat(40)));
    for line in 0..40_u32 {
        let start = 3 * line as usize;
        let item = Diagnostic::wrong(Code::CsvNumber, format!("row {line}"))
            .at(source.place_on(line + 1, start..start + 2), "");
        found.push(item.in_cell("bore_mm"));
    }
    let items = found.finish(&sources);
    assert_eq!(items.len(), 10);
    assert_eq!(items[9].more, 30);
    assert!(render(&items, &sources, false).contains("and 30 more like this"));
}

#[test]
fn json_names_file_line_and_column() {
    let source = Source::new("p.csv".into(), "id\nA\n".into());
    let item = Diagnostic::wrong(Code::PartTwice, "twice").at(source.place(3..4), "here").help("rename one");
    let json = serde_json::to_value(&item).expect("serialises");
    assert_eq!(json["code"], "part-twice");
    assert_eq!(json["class"], "wrong");
    assert_eq!(json["labels"][0]["line"], 2);
    assert_eq!(json["labels"][0]["file"], "p.csv");
    assert_eq!(json["help"], "rename one");
}
