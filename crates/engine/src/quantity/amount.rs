//! A value with its unit, as typed.

use super::{Bound, Decimal, DecimalError, Dimension, Unit, exact_text};

/// A checked value: whole ticks, and the unit and decimals it was typed with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Amount {
    ticks: i64,
    unit: Unit,
    decimals: u8,
}

/// What a place takes: the name for messages, the range, the unit of a bare number.
#[derive(Clone, Copy, Debug)]
pub struct Expected {
    /// The quantity and its range.
    pub bound: &'static Bound,
    /// The unit a bare number is in; `None` where the unit must be typed.
    pub unit: Option<Unit>,
    /// Whether a decimal comma is accepted.
    pub comma: bool,
}

/// Why a text is not an amount of the kind expected.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum AmountError {
    /// The number itself cannot be read.
    #[error("{name}: `{text}` cannot be read: {source}; expected a value in {range}")]
    Number {
        /// The quantity.
        name: &'static str,
        /// As typed.
        text: String,
        /// The allowed range as text, with unit.
        range: String,
        /// What is wrong with the digits.
        source: DecimalError,
    },
    /// A bare number where nothing says its unit.
    #[error("{name}: `{text}` has no unit; expected a {dimension} such as `{text} {example}`")]
    NoUnit {
        /// The quantity.
        name: &'static str,
        /// As typed.
        text: String,
        /// What it should measure.
        dimension: Dimension,
        /// A unit that would do.
        example: Unit,
    },
    /// A unit that is not known, or measures something else.
    #[error("{name}: `{text}` is not a {dimension}; the unit `{found}` does not fit")]
    WrongUnit {
        /// The quantity.
        name: &'static str,
        /// As typed.
        text: String,
        /// The unit found.
        found: String,
        /// What it should measure.
        dimension: Dimension,
    },
    /// Finer than a tick.
    #[error("{name}: `{text}` is finer than {finest} and cannot be kept exactly")]
    TooFine {
        /// The quantity.
        name: &'static str,
        /// As typed.
        text: String,
        /// The finest that can be.
        finest: &'static str,
    },
    /// Outside the range.
    #[error("{name}: {value}{} is outside {range}", suffix(*unit))]
    OutOfRange {
        /// The quantity.
        name: &'static str,
        /// The value as typed.
        value: String,
        /// The unit it was read in.
        unit: Unit,
        /// The allowed range as text, with unit.
        range: String,
        /// The unit the writer probably had in mind.
        likely: Option<Unit>,
    },
}

impl AmountError {
    /// The remedy that fits, where there is one.
    #[must_use]
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::OutOfRange { value, likely: Some(likely), .. } => Some(format!(
                "is this in {}? then write `{value} {likely}` or name the unit in the column header",
                likely.plural()
            )),
            Self::Number { source: DecimalError::Comma, .. } => {
                Some("write a point, or separate the columns with semicolons".to_owned())
            }
            Self::WrongUnit { dimension, .. } => Some(format!("write it in {}", units_of(*dimension))),
            _ => None,
        }
    }
}

/// The unit after a number: nothing for a plain one.
fn suffix(unit: Unit) -> String {
    match unit {
        Unit::One | Unit::Money => String::new(),
        unit => format!(" {unit}"),
    }
}

fn units_of(dimension: Dimension) -> String {
    let symbols: Vec<_> = Unit::WRITTEN
        .into_iter()
        .filter(|unit| unit.dimension() == dimension)
        .map(|unit| format!("`{unit}`"))
        .collect();
    if symbols.is_empty() { "a plain number".to_owned() } else { symbols.join(" or ") }
}

impl Expected {
    /// The allowed range in `unit`, as `0.3937 in to 39.3701 in`.
    #[must_use]
    pub fn range_in(&self, unit: Unit) -> String {
        let text = |ticks| super::rounded_text(ticks, unit, unit.usual_decimals());
        let trim = |text: String| {
            if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
        };
        let suffix = suffix(unit);
        format!("{}{suffix} to {}{suffix}", trim(text(self.bound.min)), trim(text(self.bound.max)))
    }

    /// The unit for messages: the place's own, else the most usual of the dimension.
    fn message_unit(&self) -> Unit {
        self.unit.unwrap_or(match self.bound.dimension {
            Dimension::Length => Unit::Millimetre,
            Dimension::Volume => Unit::CubicCentimetre,
            Dimension::Mass => Unit::Gram,
            Dimension::Ratio => Unit::One,
            Dimension::Money => Unit::Money,
        })
    }
}

impl Amount {
    /// Reads `text`: a number, alone or followed by a unit (`0.035 in`, `2 g`, `0.89mm`).
    ///
    /// # Errors
    /// [`AmountError`] with the name, the text, the range and, where one fits, a hint.
    ///
    /// # Examples
    /// ```
    /// use pairwright_engine::quantity::{Amount, Bound, Expected, Unit};
    /// let bore = Bound::named("bore").expect("bore is in the table");
    /// let inches = Expected { bound: bore, unit: Some(Unit::Inch), comma: false };
    /// assert_eq!(Amount::parse("3.940", &inches)?.ticks(), 100_076_000);
    /// let slip = Amount::parse("100.1", &inches).expect_err("a bore of 100 inches");
    /// assert_eq!(slip.to_string(), "bore: 100.1 in is outside 0.3937 in to 39.3701 in");
    /// assert!(slip.hint().expect("the classic").contains("millimetres"));
    /// # Ok::<(), pairwright_engine::quantity::AmountError>(())
    /// ```
    pub fn parse(text: &str, expected: &Expected) -> Result<Self, AmountError> {
        let text = text.trim();
        let name = expected.bound.name;
        let (number, unit) = split_unit(text, expected)?;
        let decimal = Decimal::parse(number, expected.comma).map_err(|source| AmountError::Number {
            name,
            text: text.to_owned(),
            range: expected.range_in(unit.unwrap_or(expected.message_unit())),
            source,
        })?;
        let Some(unit) = unit.or(expected.unit) else {
            return Err(AmountError::NoUnit {
                name,
                text: text.to_owned(),
                dimension: expected.bound.dimension,
                example: expected.message_unit(),
            });
        };
        let outside = || AmountError::OutOfRange {
            name,
            value: number.to_owned(),
            unit,
            range: expected.range_in(unit),
            likely: expected.bound.likely_unit(decimal, unit),
        };
        let (ticks, exact) = decimal.times(unit.ticks()).ok_or_else(outside)?;
        if !expected.bound.holds(ticks) {
            return Err(outside());
        }
        let finest = match unit.dimension() {
            Dimension::Length => Some("a nanometre"),
            Dimension::Money => Some("a hundredth"),
            Dimension::Volume | Dimension::Mass | Dimension::Ratio => None,
        };
        if let (false, Some(finest)) = (exact, finest) {
            return Err(AmountError::TooFine { name, text: text.to_owned(), finest });
        }
        Ok(Self { ticks, unit, decimals: decimal.decimals() })
    }

    /// An amount made by the program rather than typed; `decimals` are those it is shown with.
    #[must_use]
    pub const fn new(ticks: i64, unit: Unit, decimals: u8) -> Self {
        Self { ticks, unit, decimals }
    }

    /// The same with so many ticks more, shown with the same decimals.
    #[must_use]
    pub const fn plus(self, ticks: i64) -> Self {
        Self { ticks: self.ticks + ticks, ..self }
    }

    /// The value in ticks of its dimension.
    #[must_use]
    pub const fn ticks(self) -> i64 {
        self.ticks
    }

    /// The unit it was typed in.
    #[must_use]
    pub const fn unit(self) -> Unit {
        self.unit
    }

    /// Digits after the point, as typed.
    #[must_use]
    pub const fn decimals(self) -> u8 {
        self.decimals
    }

    /// The step between neighbouring values with the typed decimals, in ticks.
    ///
    /// ```
    /// use pairwright_engine::quantity::{Amount, Unit};
    /// assert_eq!(Amount::new(25_400, Unit::Inch, 4).typed_step(), 2_540.0);
    /// ```
    #[must_use]
    pub fn typed_step(self) -> f64 {
        self.unit.ticks_f64() / 10_f64.powi(i32::from(self.decimals))
    }
}

impl std::fmt::Display for Amount {
    /// The value as typed: parse and print round-trip.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&exact_text(self.ticks, self.unit, self.decimals))?;
        match self.unit {
            Unit::One | Unit::Money => Ok(()),
            unit => write!(f, " {unit}"),
        }
    }
}

/// Splits `0.035 in` into the number and its unit; a bare number has none.
fn split_unit<'t>(text: &'t str, expected: &Expected) -> Result<(&'t str, Option<Unit>), AmountError> {
    if text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'.' | b',' | b'-' | b'+')) {
        return Ok((text, None));
    }
    let number_end = text
        .char_indices()
        .find(|&(at, c)| c.is_alphabetic() && !is_exponent(text, at))
        .map_or(text.len(), |(at, _)| at);
    let (number, symbol) = text.split_at(number_end);
    let (number, symbol) = (number.trim_end(), symbol.trim());
    if symbol.is_empty() || number.is_empty() || number == "-" || number == "+" {
        // `NaN`, `inf` and words are no unit: let the number parser refuse the whole text.
        return Ok((text, None));
    }
    match Unit::from_symbol(symbol) {
        Some(unit) if unit.dimension() == expected.bound.dimension => Ok((number, Some(unit))),
        _ => Err(AmountError::WrongUnit {
            name: expected.bound.name,
            text: text.to_owned(),
            found: symbol.to_owned(),
            dimension: expected.bound.dimension,
        }),
    }
}

fn is_exponent(text: &str, at: usize) -> bool {
    let tail = &text[at..];
    let Some(rest) = tail.strip_prefix(['e', 'E']) else { return false };
    let rest = rest.strip_prefix(['-', '+']).unwrap_or(rest);
    at > 0 && rest.starts_with(|c: char| c.is_ascii_digit())
}
