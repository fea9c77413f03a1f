//! Nouns, also of the user's own.

/// The plural of a noun: `piston`, `bush`, `assembly`.
pub(crate) fn plural(noun: &str) -> String {
    let vowel_before = |noun: &str| noun.chars().rev().nth(1).is_some_and(|c| "aeiou".contains(c));
    if ["s", "x", "ch", "sh"].iter().any(|end| noun.ends_with(end)) {
        format!("{noun}es")
    } else if noun.ends_with('y') && !vowel_before(noun) {
        format!("{}ies", &noun[..noun.len() - 1])
    } else {
        format!("{noun}s")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nouns_have_their_plurals() {
        let plurals = ["piston", "bush", "assembly", "tray"].map(plural);
        assert_eq!(plurals, ["pistons", "bushes", "assemblies", "trays"]);
    }
}
