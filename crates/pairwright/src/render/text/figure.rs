//! Figures as text: rounded for the bench, deck clearance by the words above and below.

use pairwright_engine::job::FitName;
use pairwright_engine::quantity::{Amount, Dimension, Unit, exact_text, rounded_text};

use super::english::GLUE;

/// Ticks from a float, rounded to the nearest whole one.
#[expect(clippy::cast_possible_truncation, reason = "saturates; values are below a metre or 100 kg in ticks")]
pub(super) fn whole(ticks: f64) -> i64 {
    ticks.round_ties_even() as i64
}

/// A number and its unit; a ratio and a price have none.
pub(super) fn with_unit(number: &str, unit: Unit) -> String {
    match unit {
        Unit::One | Unit::Money => number.to_owned(),
        unit => format!("{number}{GLUE}{unit}"),
    }
}

/// The word for the side of the deck that a value lies on.
pub(super) const fn side_of_deck(ticks: i64) -> &'static str {
    if ticks < 0 { "below" } else { "above" }
}

/// A size with the word that its sign stands for: `0.0041 below`, `0.0012 interference`, `touches by 0.0012`.
fn worded(fit: FitName, ticks: i64, size: &str) -> String {
    match fit {
        FitName::Deck => format!("{size}{GLUE}{}", side_of_deck(ticks)),
        FitName::PistonToHead | FitName::Entry(_) if ticks < 0 => format!("touches{GLUE}by{GLUE}{size}"),
        // A skirt wider than its bore: the trade calls it interference.
        FitName::Skirt if ticks < 0 => format!("{size}{GLUE}interference"),
        _ if ticks < 0 => format!("-{size}"),
        _ => size.to_owned(),
    }
}

/// The size of a value of a fit, with its unit where `unit_too`, and its word.
fn sized(fit: FitName, ticks: i64, unit: Unit, unit_too: bool) -> String {
    let size = rounded_text(magnitude(ticks), unit, unit.usual_decimals());
    let ticks = if is_zero(&size) { 0 } else { ticks };
    if fit == FitName::Deck && ticks == 0 {
        return "flush".to_owned();
    }
    worded(fit, ticks, &if unit_too { with_unit(&size, unit) } else { size })
}

/// The value of a fit without its unit: `0.0041 below`, `flush`, `0.0042`.
pub(super) fn value(fit: FitName, ticks: i64, unit: Unit) -> String {
    sized(fit, ticks, unit, false)
}

/// The value of a fit with its unit: `0.0041 in below`.
pub(super) fn full_value(fit: FitName, ticks: i64, unit: Unit) -> String {
    sized(fit, ticks, unit, true)
}

/// An interval of a fit without its unit: `0.0048 to 0.0034 below`.
pub(super) fn interval(fit: FitName, low: f64, high: f64, unit: Unit) -> String {
    let (low, high) = (value(fit, whole(low), unit), value(fit, whole(high), unit));
    if fit == FitName::PistonToHead && low.contains(GLUE) {
        let clear = if high.contains(GLUE) { "" } else { "clear" };
        let far = high.rsplit(GLUE).next().unwrap_or_default();
        return format!("{low}{GLUE}to {far} {clear}").trim_end().to_owned();
    }
    match (low.split_once(GLUE), high.split_once(GLUE)) {
        (Some((size, side)), Some((_, same))) if side == same => format!("{size} to {high}"),
        (None, None) => format!("{low} to {high}"),
        // Across the deck: each half stays whole where the line breaks.
        _ => format!("{low}{GLUE}to {high}"),
    }
}

/// The size of a difference without its unit, with `decimals` digits; what would round to nothing
/// is `under` the smallest number that can be written.
pub(super) fn size(ticks: i64, unit: Unit, decimals: u8) -> String {
    let text = rounded_text(magnitude(ticks), unit, decimals);
    if ticks != 0 && is_zero(&text) { format!("under{GLUE}{}", smallest(unit, decimals)) } else { text }
}

/// The size of a difference with its unit.
pub(super) fn difference(ticks: i64, unit: Unit, decimals: u8) -> String {
    with_unit(&size(ticks, unit, decimals), unit)
}

/// Two sizes with as few digits, from the usual ones, as tell them apart where they differ.
pub(super) fn told_apart(a: i64, b: i64, unit: Unit) -> (String, String) {
    let usual = unit.usual_decimals();
    let texts = |decimals| (difference(a, unit, decimals), difference(b, unit, decimals));
    let apart = (usual..usual + 4).find(|&decimals| {
        let (a_text, b_text) = texts(decimals);
        magnitude(a) == magnitude(b) || a_text != b_text
    });
    texts(apart.unwrap_or(usual + 4))
}

/// A size that is enough: rounded up to the usual decimals, never down.
pub(super) fn at_least(ticks: i64, unit: Unit) -> String {
    let decimals = unit.usual_decimals();
    let (numerator, denominator) = unit.ticks();
    let scale = i128::from(denominator) * 10_i128.pow(u32::from(decimals));
    let steps = (i128::from(magnitude(ticks)) * scale + i128::from(numerator) - 1) / i128::from(numerator);
    let up = i64::try_from((steps * i128::from(numerator)).div_euclid(scale)).unwrap_or(i64::MAX);
    with_unit(&rounded_text(up, unit, decimals), unit)
}

/// A bound as it was typed, where somebody typed it, else in `unit`; deck clearance in words.
pub(super) fn bound(fit: FitName, ticks: i64, typed: Option<Amount>, unit: Unit) -> String {
    let (size, unit) = match typed {
        Some(typed) => (exact_text(magnitude(ticks), typed.unit(), typed.decimals()), typed.unit()),
        None => (rounded_text(magnitude(ticks), unit, unit.usual_decimals() + 1), unit),
    };
    if fit == FitName::Deck && ticks == 0 { "flush".to_owned() } else { worded(fit, ticks, &with_unit(&size, unit)) }
}

/// A chance in whole per cent: some thousand draws cannot tell more.
pub(super) fn chance(chance: f64) -> String {
    match chance {
        _ if chance >= 0.995 => format!("more than 99{GLUE}%"),
        _ if chance < 0.005 => format!("less than 1{GLUE}%"),
        _ => format!("about {:.0}{GLUE}%", chance * 100.0),
    }
}

/// The units a page uses, once, in words: `Lengths in inches, masses in grams.`
pub(super) fn units_in_words(units: &[Unit]) -> Option<String> {
    let phrase = |unit: &Unit| {
        let plural = unit.plural();
        Some(match unit.dimension() {
            Dimension::Length => format!("lengths in {plural}"),
            Dimension::Mass => format!("masses in {plural}"),
            Dimension::Volume => format!("volumes in {plural}"),
            Dimension::Ratio | Dimension::Money => return None,
        })
    };
    let phrases: Vec<String> = units.iter().filter_map(phrase).collect();
    (!phrases.is_empty()).then(|| super::english::sentence(&format!("{}.", phrases.join(", "))))
}

fn magnitude(ticks: i64) -> i64 {
    ticks.saturating_abs()
}

fn is_zero(text: &str) -> bool {
    text.bytes().all(|byte| byte == b'0' || byte == b'.')
}

fn smallest(unit: Unit, decimals: u8) -> String {
    let (numerator, denominator) = unit.ticks();
    let step = numerator / denominator / 10_i64.pow(u32::from(decimals.min(9)));
    rounded_text(step.max(1), unit, decimals)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn deck_clearance_is_said_in_words() {
        let say = |ticks| value(FitName::Deck, ticks, Unit::Inch).replace(GLUE, " ");
        assert_eq!(say(-104_140), "0.0041 below");
        assert_eq!(say(30_480), "0.0012 above");
        assert_eq!(say(0), "flush");
        assert_eq!(say(-1), "flush");
        assert_eq!(full_value(FitName::Deck, -104_140, Unit::Inch).replace(GLUE, " "), "0.0041 in below");
    }

    #[test]
    fn an_interval_names_its_side_once() {
        let say = |low, high| interval(FitName::Deck, low, high, Unit::Inch).replace(GLUE, " ");
        assert_eq!(say(-121_920.0, -86_360.0), "0.0048 to 0.0034 below");
        assert_eq!(say(-7_620.0, 10_160.0), "0.0003 below to 0.0004 above");
        assert_eq!(say(0.0, 10_160.0), "flush to 0.0004 above");
    }

    #[test]
    fn a_piston_that_reaches_the_head_touches_it() {
        let fit = FitName::PistonToHead;
        assert_eq!(value(fit, -30_480, Unit::Inch).replace(GLUE, " "), "touches by 0.0012");
        assert_eq!(full_value(fit, -30_480, Unit::Inch).replace(GLUE, " "), "touches by 0.0012 in");
        assert_eq!(value(fit, -1, Unit::Inch), "0.0000");
        let say = |low, high| interval(fit, low, high, Unit::Inch).replace(GLUE, " ");
        assert_eq!(say(-50_800.0, -25_400.0), "touches by 0.0020 to 0.0010");
        assert_eq!(say(-50_800.0, 25_400.0), "touches by 0.0020 to 0.0010 clear");
        assert_eq!(say(25_400.0, 50_800.0), "0.0010 to 0.0020");
    }

    #[test]
    fn only_a_skirt_has_interference() {
        use pairwright_engine::job::DeclaredId;
        assert_eq!(value(FitName::Skirt, -30_480, Unit::Inch).replace(GLUE, " "), "0.0012 interference");
        let lash = FitName::Declared(DeclaredId::new(0));
        assert_eq!(full_value(lash, -1_000, Unit::Millimetre).replace(GLUE, " "), "-0.001 mm");
        assert_eq!(interval(lash, -1_000.0, 21_000.0, Unit::Millimetre), "-0.001 to 0.021");
        assert_eq!(bound(lash, -50_000, None, Unit::Millimetre).replace(GLUE, " "), "-0.0500 mm");
        assert_eq!(value(lash, -1, Unit::Millimetre), "0.000");
    }

    #[test]
    fn compression_has_three_decimals_and_no_unit() {
        assert_eq!(full_value(FitName::Compression, 10_412_600, Unit::One), "10.413");
        assert_eq!(full_value(FitName::ClearanceVolume, 70_126_000, Unit::CubicCentimetre), "70.13\u{a0}cc");
    }

    #[test]
    fn what_is_enough_is_rounded_up() {
        assert_eq!(at_least(7_421, Unit::Inch).replace(GLUE, " "), "0.0003 in");
        assert_eq!(at_least(7_621, Unit::Inch).replace(GLUE, " "), "0.0004 in");
        assert_eq!(at_least(7_620, Unit::Inch).replace(GLUE, " "), "0.0003 in");
    }

    #[test]
    fn sizes_that_differ_are_told_apart() {
        let (a, b) = told_apart(5_200, 6_000, Unit::Inch);
        assert_ne!(a, b);
        assert_eq!(told_apart(2_540, 2_540, Unit::Inch).0.replace(GLUE, " "), "0.0001 in");
        assert_eq!(size(100, Unit::Inch, 4).replace(GLUE, " "), "under 0.0001");
    }

    #[test]
    fn a_bound_keeps_the_digits_and_the_unit_it_was_typed_with() {
        let typed = Amount::new(50_000, Unit::Millimetre, 2);
        assert_eq!(bound(FitName::Skirt, 50_000, Some(typed), Unit::Inch).replace(GLUE, " "), "0.05 mm");
        assert_eq!(bound(FitName::Deck, -50_000, None, Unit::Inch).replace(GLUE, " "), "0.00197 in below");
    }
}
