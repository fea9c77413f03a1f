use super::*;

fn source(text: &str) -> Source {
    Source::new("t.csv".into(), text.into())
}

fn rows(text: &str, separator: Separator) -> Vec<(u32, Vec<String>)> {
    let source = source(text);
    let table = Table::open(&source, separator);
    let mut rows = table.rows();
    let mut all = Vec::new();
    while rows.advance() {
        let row = rows.row();
        all.push((row.line, (0..row.len()).map(|at| row.cell(at).to_owned()).collect()));
        for at in 0..row.len() {
            let raw = &source.text()[row.span(at)];
            let quoted = raw.strip_prefix('"').and_then(|raw| raw.strip_suffix('"'));
            let plain = quoted.map_or_else(|| raw.to_owned(), |inside| inside.replace("\"\"", "\""));
            assert_eq!(plain.trim(), row.cell(at), "span of cell {at}");
        }
    }
    all
}

#[test]
fn lines_are_those_of_the_rows_start() {
    let text = "id,note\r\n\r\nA, \"two\r\nlines\" \r\nB,x\r\n , \r\nC,\"say \"\"hi\"\"\"";
    let lines: Vec<_> =
        rows(text, Separator::Comma).into_iter().map(|(line, cells)| (line, cells[0].clone())).collect();
    let expected = [(1, "id"), (3, "A"), (4, "lines\""), (5, "B"), (7, "C")];
    // A blank before a quote makes the quote a plain character, as CSV has it.
    assert_eq!(lines, expected.map(|(line, id)| (line, id.to_owned())));
    let quoted = rows("id,note\nA,\"two\nlines\"\nB,x\n", Separator::Comma);
    assert_eq!(quoted.iter().map(|row| row.0).collect::<Vec<_>>(), [1, 2, 4]);
}

#[test]
fn cells_are_trimmed_and_keep_their_digits() {
    assert_eq!(rows("id;bore\n 007 ;3,940\n", Separator::Semicolon)[1].1, ["007", "3,940"]);
    assert_eq!(rows("\u{feff}\"id\",\"bore\"\nA,1\n", Separator::Comma)[0].1, ["id", "bore"]);
}

#[test]
fn an_open_quote_is_found_where_it_opens() {
    let text = "id,note\nA,ok\nB,\"oops\nC,x\n";
    let source = source(text);
    let table = Table::open(&source, Separator::Comma);
    assert_eq!(table.open_quote.map(|at| source.place(at..at).line), Some(3));
    assert_eq!(rows(text, Separator::Comma).len(), 2, "the rows before it are read");
    assert_eq!(open_quote("id\n3\" piston\n", Separator::Comma), None);
}
