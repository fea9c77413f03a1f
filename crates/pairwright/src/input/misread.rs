//! Letters that look like digits.

use pairwright_engine::quantity::{Amount, Expected};

/// The value that was meant where `text` holds an `O` for a `0`, or an `l` or `I` for a `1`.
pub(super) fn digits(text: &str, expected: &Expected) -> Option<String> {
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

/// What there is to say of such a text, and what to do.
pub(super) fn said(name: &str, text: &str, meant: &str) -> (String, String) {
    (format!("{name}: `{text}` has a letter among its digits"), format!("did you mean `{meant}`?"))
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
}
