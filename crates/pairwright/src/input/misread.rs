//! Numbers that are not quite numbers: letters that look like digits, a ratio written out, a minus sign, a unit in words.

use pairwright_engine::quantity::{Amount, Dimension, Expected, Unit};

/// What there is to say of a text that is not an amount, and what to do, where the number that was meant is plain.
pub(super) fn meant(name: &str, text: &str, expected: &Expected) -> Option<(String, String)> {
    if let Some(meant) = digits(text, expected) {
        return Some((format!("{name}: `{text}` has a letter among its digits"), format!("did you mean `{meant}`?")));
    }
    if let Some(plain) = negative(text, expected) {
        let help = match read_off(name, expected) {
            Some(what) => format!("measure it again: {what} is never below 0"),
            None => format!("write `{plain}`: nothing below 0 can stand here"),
        };
        return Some((format!("{name}: `{text}` is negative"), help));
    }
    if let Some(meant) = unit_in_words(text, expected) {
        return Some((format!("{name}: `{text}` has its unit in words"), format!("write `{meant}`")));
    }
    let bare = ratio(text, expected)?;
    Some((format!("{name}: `{text}` is a ratio written out"), format!("write `{bare}`: the `: 1` goes without saying")))
}

/// Quantities that are stated, not read off a part: a sign in front of them is a slip of the pen.
const STATED: [&str; 13] = [
    "resolution",
    "repeatability",
    "form",
    "u",
    "minimum",
    "angle",
    "crown_allowance",
    "spread",
    "slack",
    "neighbours",
    "cut",
    "dish_diameter",
    "hours",
];

/// What `name` is a reading of, with its article; `None` for what is stated. A reading of the wrong sign may be wrong in its
/// digits, too: without the sign it would be off by twice itself.
fn read_off(name: &str, expected: &Expected) -> Option<String> {
    let bound = expected.bound;
    // A limit goes by another name than the quantity it limits.
    let itself = name.strip_prefix(bound.name).is_some_and(|rest| rest.is_empty() || rest.starts_with('_'));
    let stated = bound.dimension == Dimension::Money || bound.name.starts_with("u_") || STATED.contains(&bound.name);
    let what = if bound.name == "along" { "distance along the bank".to_owned() } else { bound.name.replace('_', " ") };
    let article = if what.starts_with(['a', 'e', 'i', 'o']) { "an" } else { "a" };
    (itself && !stated).then(|| format!("{article} {what}"))
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
    fn a_reading_below_0_is_to_be_read_again_and_a_statement_loses_its_sign() {
        let help = |name: &str, bound: &str, text: &str| {
            let bound = Bound::named(bound).expect("known");
            let unit = if bound.dimension == Dimension::Money { Unit::Money } else { Unit::Millimetre };
            meant(name, text, &Expected { bound, unit: Some(unit), comma: false }).expect("negative").1
        };
        assert_eq!(help("lash", "lash", "-0.15"), "measure it again: a lash is never below 0");
        assert_eq!(help("along", "along", "-40"), "measure it again: a distance along the bank is never below 0");
        assert_eq!(help("max", "lift", "-12"), "write `12`: nothing below 0 can stand here");
        assert_eq!(help("price", "price", "-6"), "write `6`: nothing below 0 can stand here");
        assert_eq!(help("minimum", "minimum", "-1"), "write `1`: nothing below 0 can stand here");
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
