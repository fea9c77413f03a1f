//! Numbers that are not quite numbers: letters that look like digits, a ratio written out, a minus sign, a unit in words.

use pairwright_engine::quantity::{Amount, Dimension, Expected, Unit};

/// What there is to say of a text that is not an amount, and what to do, where the number that was meant is plain.
pub(super) fn meant(name: &str, text: &str, expected: &Expected) -> Option<(String, String)> {
    if let Some(meant) = digits(text, expected) {
        return Some((format!("{name}: `{text}` has a letter among its digits"), format!("did you mean `{meant}`?")));
    }
    if let Some(plain) = negative(text, expected) {
        let help = format!("write `{plain}`: nothing below 0 can stand here");
        return Some((format!("{name}: `{text}` is negative"), help));
    }
    if let Some(meant) = unit_in_words(text, expected) {
        return Some((format!("{name}: `{text}` has its unit in words"), format!("write `{meant}`")));
    }
    let bare = ratio(text, expected)?;
    Some((format!("{name}: `{text}` is a ratio written out"), format!("write `{bare}`: the `: 1` goes without saying")))
}

/// The value without its minus sign, where that alone keeps it out.
fn negative<'t>(text: &'t str, expected: &Expected) -> Option<&'t str> {
    let plain = text.strip_prefix('-')?.trim_start();
    (expected.bound.min >= 0 && Amount::parse(text, expected).is_err() && Amount::parse(plain, expected).is_ok())
        .then_some(plain)
}

/// `3.940 in` for `3.940 inches`.
fn unit_in_words(text: &str, expected: &Expected) -> Option<String> {
    let (number, word) = text.split_at(text.find(char::is_alphabetic)?);
    let unit = match word.trim().trim_end_matches('.').to_lowercase().as_str() {
        "inch" | "inches" => Unit::Inch,
        "thous" | "mil" | "mils" => Unit::Thou,
        "millimetre" | "millimetres" | "millimeter" | "millimeters" => Unit::Millimetre,
        "micrometre" | "micrometres" | "micrometer" | "micrometers" | "micron" | "microns" => Unit::Micrometre,
        "ml" | "millilitre" | "millilitres" | "milliliter" | "milliliters" | "ccm" | "cm3" => Unit::CubicCentimetre,
        "gram" | "grams" | "gramme" | "grammes" | "gr" => Unit::Gram,
        "ounce" | "ounces" => Unit::Ounce,
        _ => return None,
    };
    let meant = format!("{} {unit}", number.trim());
    Amount::parse(&meant, expected).is_ok().then_some(meant)
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
    fn a_minus_sign_is_called_one_where_nothing_is_below_0() {
        let expected = |name: &str, unit| Expected { bound: Bound::named(name).expect("known"), unit, comma: false };
        let price = expected("price", Some(Unit::Money));
        assert_eq!(negative("-6.80", &price), Some("6.80"));
        assert_eq!(negative("6.80", &price), None);
        assert_eq!(negative("-3.2 cc", &expected("dish", None)), None);
        let spread = Bound::difference("spread", Dimension::Mass).expect("known");
        assert_eq!(negative("-2 g", &Expected { bound: spread, unit: None, comma: true }), Some("2 g"));
    }

    #[test]
    fn a_unit_in_words_is_written_short() {
        let expected = |name: &str, unit| Expected { bound: Bound::named(name).expect("known"), unit, comma: false };
        let bore = expected("bore", Some(Unit::Millimetre));
        assert_eq!(unit_in_words("3.940 inches", &bore).as_deref(), Some("3.940 in"));
        assert_eq!(unit_in_words("3.940inch", &bore).as_deref(), Some("3.940 in"));
        assert_eq!(unit_in_words("100.1 millimetres", &bore).as_deref(), Some("100.1 mm"));
        assert_eq!(unit_in_words("3.940 grams", &bore), None);
        assert_eq!(unit_in_words("3.2 ml", &expected("dish", None)).as_deref(), Some("3.2 cc"));
        assert_eq!(unit_in_words("612 grams", &expected("mass", None)).as_deref(), Some("612 g"));
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
