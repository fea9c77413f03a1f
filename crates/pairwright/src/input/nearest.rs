//! The name that was probably meant.

/// The one of `known` nearest to `found`, if it is near enough to be a slip of the pen.
///
/// Near enough is a third of the letters; a swap of neighbours counts once. Short labels differ in
/// one letter from many others, so only upper and lower case may differ in them.
pub(super) fn nearest<'k>(found: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let found = found.to_lowercase();
    let allowed = found.chars().count() / 3;
    known
        .into_iter()
        .filter(|name| name.len().abs_diff(found.len()) <= 4 * allowed)
        .map(|name| (strsim::osa_distance(&found, &name.to_lowercase()), name))
        .filter(|(distance, _)| *distance <= allowed)
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, name)| name)
}

/// A remedy: the name probably meant, and those there are.
pub(super) fn remedy(found: &str, known: &[&str], there_are: &str) -> String {
    let list = listed(known);
    let short = match found {
        "minimum" => Some("min"),
        "maximum" => Some("max"),
        _ => None,
    };
    let short = short.filter(|short| known.contains(short));
    match short.or_else(|| nearest(found, known.iter().copied())) {
        Some(name) => format!("did you mean `{name}`? {there_are} {list}"),
        None => format!("{there_are} {list}"),
    }
}

/// More names than this are not listed.
const LISTED: usize = 24;

/// `` `a`, `b`, `c` ``, cut short where there are many.
pub(super) fn listed(names: &[&str]) -> String {
    let quoted: Vec<_> = names.iter().take(LISTED).map(|name| format!("`{name}`")).collect();
    let rest = names.len().saturating_sub(LISTED);
    if rest > 0 { format!("{} and {rest} more", quoted.join(", ")) } else { quoted.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_word_in_full_is_its_short_form() {
        assert!(remedy("minimum", &["min", "max"], "a limit has").starts_with("did you mean `min`?"));
        assert!(remedy("maximum", &["min", "max"], "a limit has").starts_with("did you mean `max`?"));
        assert!(!remedy("minimum", &["bore"], "there is").contains("did you mean"));
    }

    #[test]
    fn a_slip_is_recognised_and_a_stranger_is_not() {
        let known = ["diameter", "dish", "mass"];
        assert_eq!(nearest("diamter", known), Some("diameter"));
        assert_eq!(nearest("Dihs", known), Some("dish"));
        assert_eq!(nearest("colour", known), None);
        assert_eq!(nearest("b", ["A", "B"]), Some("B"));
        assert_eq!(nearest("Q", ["A", "B"]), None);
    }
}
