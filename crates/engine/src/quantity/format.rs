//! Ticks back to decimal text.

use super::{Decimal, Unit};

/// `ticks` written in `unit` with `decimals` digits after the point, rounded half to even.
///
/// ```
/// use pairwright_engine::quantity::{Unit, rounded_text};
/// assert_eq!(rounded_text(-104_140, Unit::Inch, 4), "-0.0041");
/// assert_eq!(rounded_text(-104_140, Unit::Millimetre, 3), "-0.104");
/// ```
#[must_use]
pub fn rounded_text(ticks: i64, unit: Unit, decimals: u8) -> String {
    let (numerator, denominator) = unit.ticks();
    let power = 10_i128.pow(u32::from(decimals.min(18)));
    let scaled = i128::from(ticks) * i128::from(denominator) * power;
    let divisor = i128::from(numerator);
    let (quotient, remainder) = (scaled.abs() / divisor, scaled.abs() % divisor);
    let up = match (2 * remainder).cmp(&divisor) {
        std::cmp::Ordering::Less => 0,
        std::cmp::Ordering::Equal => quotient & 1,
        std::cmp::Ordering::Greater => 1,
    };
    place_point(ticks < 0, quotient + up, decimals.min(18))
}

/// `ticks` written in `unit` with as many digits as it takes to read the same ticks back, at least
/// `decimals`.
///
/// ```
/// use pairwright_engine::quantity::{Unit, exact_text};
/// assert_eq!(exact_text(88_900, Unit::Inch, 4), "0.0035");
/// assert_eq!(exact_text(1, Unit::Millimetre, 3), "0.000001");
/// assert_eq!(exact_text(51_029, Unit::Ounce, 2), "0.18");
/// ```
#[must_use]
pub fn exact_text(ticks: i64, unit: Unit, decimals: u8) -> String {
    let reads_back = |text: &String| {
        let read = Decimal::parse(text, false).ok().and_then(|decimal| decimal.times(unit.ticks()));
        read.is_some_and(|(read, _)| read == ticks)
    };
    let candidates = (decimals..MOST_DECIMALS).map(|places| rounded_text(ticks, unit, places));
    candidates.into_iter().find(reads_back).unwrap_or_else(|| rounded_text(ticks, unit, MOST_DECIMALS))
}

/// More decimals than any unit needs to name one tick.
const MOST_DECIMALS: u8 = 15;

fn place_point(negative: bool, magnitude: i128, decimals: u8) -> String {
    let places = usize::from(decimals);
    let digits = format!("{magnitude:0width$}", width = places + 1);
    let (whole, fraction) = digits.split_at(digits.len() - places);
    let sign = if negative && magnitude != 0 { "-" } else { "" };
    let point = if places > 0 { "." } else { "" };
    format!("{sign}{whole}{point}{fraction}")
}
