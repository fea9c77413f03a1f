//! Lists, plurals and capitals.

/// Joins two words that no line end may part: a number and its unit, a kind and its label. The
/// page turns it into a blank when it writes the line.
pub(super) const GLUE: char = '\u{a0}';

/// `a`, `a and b`, `a, b and c`; `nothing` for an empty list.
pub(super) fn list(items: &[String]) -> String {
    match items {
        [] => "nothing".to_owned(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// At most `most` of the items by name, the rest as a number.
pub(super) fn short_list(items: &[String], most: usize) -> String {
    if items.len() <= most {
        return list(items);
    }
    format!("{} and {} more", items[..most].join(", "), items.len() - most)
}

pub(super) use crate::noun::plural;

/// `a deck clearance`, `an end float`.
pub(super) fn with_article(noun: &str) -> String {
    let vowel = noun.starts_with(['a', 'e', 'i', 'o', 'u']);
    format!("{} {noun}", if vowel { "an" } else { "a" })
}

/// `1 piston`, `3 pistons`, `no pistons`.
pub(super) fn count(number: usize, noun: &str) -> String {
    match number {
        0 => format!("no {}", plural(noun)),
        1 => format!("1{GLUE}{noun}"),
        _ => format!("{number}{GLUE}{}", plural(noun)),
    }
}

/// The text with a capital in front.
pub(super) fn sentence(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// `line 14`, `lines 2 to 9 and 12`: runs of three or more are drawn together.
pub(super) fn lines(numbers: &[u32]) -> String {
    let mut sorted = numbers.to_vec();
    sorted.sort_unstable();
    sorted.dedup();
    let mut items = Vec::new();
    let mut rest = sorted.as_slice();
    while let [first, ..] = rest {
        let run = rest.iter().zip(*first..).take_while(|(line, expected)| **line == *expected).count();
        let taken = if run >= 3 { run } else { 1 };
        items.push(if run >= 3 { format!("{first} to {}", rest[run - 1]) } else { first.to_string() });
        rest = &rest[taken..];
    }
    let noun = if sorted.len() == 1 { "line" } else { "lines" };
    format!("{noun}{GLUE}{}", list(&items))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lists_read_as_english() {
        let items: Vec<String> = ["1", "3", "5"].map(str::to_owned).to_vec();
        assert_eq!(list(&items[..1]), "1");
        assert_eq!(list(&items[..2]), "1 and 3");
        assert_eq!(list(&items), "1, 3 and 5");
        assert_eq!(short_list(&items, 2), "1, 3 and 1 more");
    }

    #[test]
    fn counts_have_their_nouns() {
        assert_eq!(count(0, "piston"), "no pistons");
        assert_eq!(count(1, "piston"), "1\u{a0}piston");
    }

    #[test]
    fn runs_of_lines_are_drawn_together() {
        assert_eq!(lines(&[14]), "line\u{a0}14");
        assert_eq!(lines(&[3, 2]), "lines\u{a0}2 and 3");
        assert_eq!(lines(&[9, 4, 3, 2, 2, 12]), "lines\u{a0}2 to 4, 9 and 12");
    }
}
