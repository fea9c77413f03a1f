//! Numbers that are not quite numbers: letters that look like digits, a ratio written out.

use pairwright_engine::quantity::{Amount, Dimension, Expected};

/// What there is to say of a text that is not an amount, and what to do, where the number that was meant is plain.
pub(super) fn meant(name: &str, text: &str, expected: &Expected) -> Option<(String, String)> {
    if let Some(meant) = digits(text, expected) {
        return Some((format!("{name}: `{text}` has a letter among its digits"), format!("did you mean `{meant}`?")));
    }
    let bare = ratio(text, expected)?;
    Some((format!("{name}: `{text}` is a ratio written out"), format!("write `{bare}`: the `: 1` goes without saying")))
}

/// The number of `10.6:1`.
fn ratio<'t>(text: &'t str, expected: &Expected) -> Option<&'t str> {
    let (bare, one) = text.split_once(':')?;
    let sound = expected.bound.dimension == Dimension::Ratio && Amount::parse(bare.trim(), expected).is_ok();
    (sound && one.trim() == "1").then_some(bare.trim())
}

/// The value that was meant where `text` holds an `O` for a `0`, or an `l` or `I` for a `1`.
fn digits(text: &str, expected: &Expected) -> Option<String> {
    let digit = |c: Option<&char>| c.is_some_and(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | 'O' | 'o'));
    let letters: Vec<_> = text.chars().collect();
    let meant = |(at, letter): (usize, &char)| {
        let beside = digit(letters.get(at + 1)) || at.checked_sub(1).is_some_and(|before| digit(letters.get(before)));
        match letter {
            'O' | 'o' if beside => '0',
            'l' | 'I' if beside => '1',
            other => *other,
        }
    };
    let meant: String = letters.iter().enumerate().map(meant).collect();
    (meant != text && Amount::parse(&meant, expected).is_ok()).then_some(meant)
}

#[cfg(test)]
mod tests {
    use pairwright_engine::quantity::{Bound, Unit};

    use super::*;

    #[test]
    fn a_letter_between_digits_is_a_digit_and_a_unit_is_none() {
        let expected = |name: &str, unit| Expected { bound: Bound::named(name).expect("known"), unit, comma: false };
        let bore = expected("bore", Some(Unit::Inch));
        assert_eq!(digits("3.94O2", &bore).as_deref(), Some("3.9402"));
        assert_eq!(digits("3.9OO", &bore).as_deref(), Some("3.900"));
        assert_eq!(digits("3.94l", &bore).as_deref(), Some("3.941"));
        assert_eq!(digits("Old", &bore), None);
        let mass = expected("mass", None);
        assert_eq!(digits("2O.4 oz", &mass).as_deref(), Some("20.4 oz"));
        assert_eq!(digits("20.4oz", &mass), None);
    }

    #[test]
    fn a_ratio_to_one_is_a_ratio() {
        let expected = |name: &str, unit| Expected { bound: Bound::named(name).expect("known"), unit, comma: false };
        let compression = expected("compression", Some(Unit::One));
        assert_eq!(ratio("10.6 : 1", &compression), Some("10.6"));
        assert_eq!(ratio("10.6:2", &compression), None);
        assert_eq!(ratio("3.9:1", &expected("bore", Some(Unit::Inch))), None);
    }
}
