//! A decimal number exactly as typed.

/// A decimal number with the digits that were typed: `(-1)^negative × digits / 10^decimals`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decimal {
    negative: bool,
    digits: u128,
    decimals: u8,
}

/// Why a text is not a decimal number.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum DecimalError {
    /// Nothing was typed.
    #[error("there is no number")]
    Empty,
    /// Something other than digits, one sign and one point.
    #[error("it is not a number")]
    NotANumber,
    /// A comma where the comma separates columns.
    #[error("it has a decimal comma, and this place takes a decimal point")]
    Comma,
    /// More digits or a larger exponent than any quantity here can have.
    #[error("it has more digits than any value here can have")]
    TooManyDigits,
}

/// More than any column of ours needs, and small enough that `digits × ticks` fits an `i128`.
const MAX_DIGITS: usize = 24;

impl Decimal {
    /// Reads `text`, which must be the number and nothing else; surrounding blanks are passed over.
    ///
    /// `comma` says whether a decimal comma is as good as a point. An exponent (`1.2e-3`) is read
    /// and turned into decimals.
    ///
    /// # Errors
    /// [`DecimalError`] says what is wrong with the text.
    ///
    /// # Examples
    /// ```
    /// use pairwright_engine::quantity::Decimal;
    /// let typed = Decimal::parse("+.0010", false)?;
    /// assert_eq!(typed.decimals(), 4);
    /// assert_eq!(typed.to_string(), "0.0010");
    /// assert!(Decimal::parse("0,0010", false).is_err());
    /// # Ok::<(), pairwright_engine::quantity::DecimalError>(())
    /// ```
    pub fn parse(text: &str, comma: bool) -> Result<Self, DecimalError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(DecimalError::Empty);
        }
        let (negative, body) = match text.strip_prefix(['-', '\u{2212}']) {
            Some(rest) => (true, rest),
            None => (false, text.strip_prefix('+').unwrap_or(text)),
        };
        let (mantissa, exponent) = match body.split_once(['e', 'E']) {
            Some((mantissa, exponent)) => (mantissa, parse_exponent(exponent)?),
            None => (body, 0),
        };
        let (digits, decimals) = parse_mantissa(mantissa, comma)?;
        Self { negative, digits, decimals }.scaled(exponent)
    }

    /// Digits after the point, as typed: the resolution the writer had in mind.
    #[must_use]
    pub const fn decimals(self) -> u8 {
        self.decimals
    }

    /// The number times `numerator / denominator`, as `(quotient rounded half to even, exact)`;
    /// `None` when the result does not fit an `i64`.
    #[must_use]
    pub fn times(self, (numerator, denominator): (i64, i64)) -> Option<(i64, bool)> {
        self.times_in_words(numerator, denominator).or_else(|| self.times_in_full(numerator, denominator))
    }

    /// [`times`](Self::times) where everything fits a machine word, as it does for any usual figure;
    /// `None` where it does not.
    fn times_in_words(self, numerator: i64, denominator: i64) -> Option<(i64, bool)> {
        let product = u64::try_from(self.digits).ok()?.checked_mul(u64::try_from(numerator).ok()?)?;
        let divisor = 10_u64.checked_pow(u32::from(self.decimals))?.checked_mul(u64::try_from(denominator).ok()?)?;
        let (quotient, remainder) = (product / divisor, product % divisor);
        let up = match remainder.cmp(&(divisor - remainder)) {
            std::cmp::Ordering::Less => 0,
            std::cmp::Ordering::Equal => quotient & 1,
            std::cmp::Ordering::Greater => 1,
        };
        let magnitude = i64::try_from(quotient.checked_add(up)?).ok()?;
        Some((if self.negative { -magnitude } else { magnitude }, remainder == 0))
    }

    fn times_in_full(self, numerator: i64, denominator: i64) -> Option<(i64, bool)> {
        let product = i128::try_from(self.digits).ok()?.checked_mul(i128::from(numerator))?;
        let divisor = 10_i128.checked_pow(u32::from(self.decimals))?.checked_mul(i128::from(denominator))?;
        let (quotient, remainder) = (product / divisor, product % divisor);
        let up = match (2 * remainder).cmp(&divisor) {
            std::cmp::Ordering::Less => 0,
            std::cmp::Ordering::Equal => quotient & 1,
            std::cmp::Ordering::Greater => 1,
        };
        let magnitude = i64::try_from(quotient + up).ok()?;
        Some((if self.negative { -magnitude } else { magnitude }, remainder == 0))
    }

    fn scaled(self, exponent: i32) -> Result<Self, DecimalError> {
        let decimals = i32::from(self.decimals) - exponent;
        if decimals >= 0 {
            let decimals = u8::try_from(decimals).map_err(|_| DecimalError::TooManyDigits)?;
            if usize::from(decimals) > MAX_DIGITS {
                return Err(DecimalError::TooManyDigits);
            }
            return Ok(Self { decimals, ..self });
        }
        let digits = 10_u128
            .checked_pow(decimals.unsigned_abs())
            .and_then(|factor| self.digits.checked_mul(factor))
            .filter(|&digits| digits < 10_u128.pow(24))
            .ok_or(DecimalError::TooManyDigits)?;
        Ok(Self { digits, decimals: 0, ..self })
    }
}

fn parse_exponent(text: &str) -> Result<i32, DecimalError> {
    let digits = text.strip_prefix(['-', '+']).unwrap_or(text);
    if digits.is_empty() || !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(DecimalError::NotANumber);
    }
    text.parse().map_err(|_| DecimalError::TooManyDigits)
}

fn parse_mantissa(text: &str, comma: bool) -> Result<(u128, u8), DecimalError> {
    if let Some(quick) = short_mantissa(text.as_bytes()) {
        return Ok(quick);
    }
    let mut digits = 0_u128;
    let mut count = 0_usize;
    let mut decimals = 0_u8;
    let mut point = false;
    let mut any = false;
    for byte in text.bytes() {
        match byte {
            b'0'..=b'9' => {
                any = true;
                count += usize::from(digits > 0 || byte != b'0');
                decimals += u8::from(point);
                if count > MAX_DIGITS || usize::from(decimals) > MAX_DIGITS {
                    return Err(DecimalError::TooManyDigits);
                }
                digits = digits * 10 + u128::from(byte - b'0');
            }
            b'.' | b',' if point => return Err(DecimalError::NotANumber),
            b'.' => point = true,
            b',' if comma => point = true,
            b',' if text.bytes().all(|b| b.is_ascii_digit() || b == b',') => return Err(DecimalError::Comma),
            _ => return Err(DecimalError::NotANumber),
        }
    }
    if any { Ok((digits, decimals)) } else { Err(DecimalError::NotANumber) }
}

/// A mantissa of at most 18 characters, digits and one point, as nearly every figure is; `None`
/// where it is anything else, right or wrong.
fn short_mantissa(text: &[u8]) -> Option<(u128, u8)> {
    if text.len() > 18 {
        return None;
    }
    let (mut digits, mut count, mut point) = (0_u64, 0_u8, None);
    for &byte in text {
        match byte {
            b'0'..=b'9' => {
                digits = digits * 10 + u64::from(byte - b'0');
                count += 1;
            }
            b'.' if point.is_none() => point = Some(count),
            _ => return None,
        }
    }
    (count > 0).then(|| (u128::from(digits), point.map_or(0, |point| count - point)))
}

impl std::fmt::Display for Decimal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let sign = if self.negative { "-" } else { "" };
        let places = usize::from(self.decimals);
        let digits = format!("{:0width$}", self.digits, width = places + 1);
        let (whole, fraction) = digits.split_at(digits.len() - places);
        let point = if places > 0 { "." } else { "" };
        write!(f, "{sign}{whole}{point}{fraction}")
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn short_figures_are_read_as_long_ones() {
        for text in ["0", "3.9400", ".5", "5.", "007", "123456789012345678"] {
            let long = format!("{}{text}", "0".repeat(20));
            let (digits, decimals) = short_mantissa(text.as_bytes()).expect("short");
            assert_eq!(parse_mantissa(&long, false), Ok((digits, decimals)), "{text}");
        }
        for text in ["", ".", "1.2.3", "1,2", "x", "1234567890123456789"] {
            assert_eq!(short_mantissa(text.as_bytes()), None, "{text}");
        }
    }

    proptest! {
        #[test]
        fn prop_words_and_full_agree(digits in 0_u64.., decimals in 0_u8..12, negative: bool, numerator in 1_i64..2_000_000_000, denominator in 1_i64..100_001) {
            let decimal = Decimal { negative, digits: u128::from(digits >> (digits % 60)), decimals };
            if let Some(quick) = decimal.times_in_words(numerator, denominator) {
                prop_assert_eq!(Some(quick), decimal.times_in_full(numerator, denominator));
            }
        }
    }
}
