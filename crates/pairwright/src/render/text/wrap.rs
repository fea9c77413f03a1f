//! Lines of a given width.

use comfy_table::Table;

use super::english::GLUE;

/// Columns that a text takes on a terminal, measured as the tables measure it.
pub(super) fn columns(text: &str) -> usize {
    if text.is_ascii() {
        return text.len();
    }
    let mut table = Table::new();
    table.add_row([text]);
    table.column_max_content_widths().first().copied().map_or(0, usize::from)
}

/// Breaks `text` at blanks so that every line, with its indent, keeps to `width`; the first line
/// starts with `first`, the others with `next`. Glued words part only where one of them alone
/// would not fit; nothing is ever cut.
pub(super) fn wrap(text: &str, width: usize, first: &str, next: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = first.to_owned();
    let mut used = columns(first);
    let mut empty = true;
    let room = width.saturating_sub(columns(next));
    for word in text.split(' ').filter(|word| !word.is_empty()).flat_map(|word| pieces(word, room)) {
        let wide = columns(word);
        let gap = usize::from(!empty);
        if !empty && used + gap + wide > width {
            lines.push(std::mem::replace(&mut line, next.to_owned()));
            used = columns(next);
            empty = true;
        }
        if !empty {
            line.push(' ');
            used += 1;
        }
        line.push_str(word);
        used += wide;
        empty = false;
    }
    lines.push(line);
    lines
}

/// A glued word as it is where it fits into `room`, else its parts.
fn pieces(word: &str, room: usize) -> Vec<&str> {
    if columns(word) <= room { vec![word] } else { word.split(GLUE).collect() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn glued_words_stay_together_while_they_can() {
        assert_eq!(wrap("at cylinder\u{a0}3", 12, "", ""), ["at", "cylinder\u{a0}3"]);
        assert_eq!(wrap("at cylinder\u{a0}3", 8, "", ""), ["at", "cylinder", "3"]);
    }

    #[test]
    fn a_word_wider_than_the_page_is_not_cut() {
        assert_eq!(wrap("a 0.123456789 b", 6, "- ", "  "), ["- a", "  0.123456789", "  b"]);
    }

    #[test]
    fn wide_characters_count_as_two_columns() {
        assert_eq!(columns("直列"), 4);
        assert_eq!(wrap("直列 直列", 8, "", ""), ["直列", "直列"]);
    }
}
