//! Units and the ticks they are worth.

use std::fmt;

/// What kind of thing a number measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dimension {
    /// A distance; one tick is 1 nm.
    Length,
    /// A capacity; one tick is 1e-6 cc.
    Volume,
    /// A weight on the scale; one tick is 0.1 mg.
    Mass,
    /// A bare ratio such as a compression ratio; one tick is 1e-6.
    Ratio,
    /// A price in the user's own currency; one tick is 0.01.
    Money,
}

impl Dimension {
    /// The word for it in messages.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Length => "length",
            Self::Volume => "volume",
            Self::Mass => "mass",
            Self::Ratio => "ratio",
            Self::Money => "price",
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}

/// A unit that may stand in a column header or after a number.
///
/// # Sources
/// The inch is 25.4 mm exactly and the pound 453.592 37 g exactly (1959 yard and pound agreement;
/// NIST SP 811 (2008) appendix B); an ounce is a sixteenth of a pound, a cubic inch 16.387 064 cc.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unit {
    /// `in`: 25,400,000 nm.
    Inch,
    /// `thou`: a thousandth of an inch, 25,400 nm.
    Thou,
    /// `mm`: 1,000,000 nm.
    Millimetre,
    /// `um`: 1,000 nm.
    Micrometre,
    /// `cc`: cubic centimetre.
    CubicCentimetre,
    /// `in3`: cubic inch, 16.387 064 cc.
    CubicInch,
    /// `g`: gram.
    Gram,
    /// `oz`: avoirdupois ounce, 28.349 523 125 g.
    Ounce,
    /// No unit: a ratio.
    One,
    /// No unit: money.
    Money,
}

impl Unit {
    /// Every unit that can be written, most usual first.
    pub const WRITTEN: [Self; 8] = [
        Self::Inch,
        Self::Millimetre,
        Self::Thou,
        Self::Micrometre,
        Self::CubicCentimetre,
        Self::CubicInch,
        Self::Gram,
        Self::Ounce,
    ];

    /// The unit as it is typed; `1` for a ratio, empty for money.
    ///
    /// ```
    /// use pairwright_engine::quantity::Unit;
    /// assert_eq!(Unit::Thou.symbol(), "thou");
    /// ```
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Thou => "thou",
            Self::Millimetre => "mm",
            Self::Micrometre => "um",
            Self::CubicCentimetre => "cc",
            Self::CubicInch => "in3",
            Self::Gram => "g",
            Self::Ounce => "oz",
            Self::One => "1",
            Self::Money => "",
        }
    }

    /// The unit in full, for hints: `millimetres`.
    #[must_use]
    pub const fn plural(self) -> &'static str {
        match self {
            Self::Inch => "inches",
            Self::Thou => "thousandths of an inch",
            Self::Millimetre => "millimetres",
            Self::Micrometre => "micrometres",
            Self::CubicCentimetre => "cubic centimetres",
            Self::CubicInch => "cubic inches",
            Self::Gram => "grams",
            Self::Ounce => "ounces",
            Self::One => "a plain ratio",
            Self::Money => "money",
        }
    }

    /// What the unit measures.
    #[must_use]
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Inch | Self::Thou | Self::Millimetre | Self::Micrometre => Dimension::Length,
            Self::CubicCentimetre | Self::CubicInch => Dimension::Volume,
            Self::Gram | Self::Ounce => Dimension::Mass,
            Self::One => Dimension::Ratio,
            Self::Money => Dimension::Money,
        }
    }

    /// Ticks in one unit, as an exact fraction `(numerator, denominator)`.
    #[must_use]
    pub const fn ticks(self) -> (i64, i64) {
        match self {
            Self::Inch => (25_400_000, 1),
            Self::Thou => (25_400, 1),
            Self::Millimetre | Self::CubicCentimetre | Self::One => (1_000_000, 1),
            Self::Micrometre => (1_000, 1),
            Self::CubicInch => (16_387_064, 1),
            Self::Gram => (10_000, 1),
            Self::Ounce => (28_349_523_125, 100_000),
            Self::Money => (100, 1),
        }
    }

    /// Ticks in one unit as a float, for output and statistics only.
    #[must_use]
    pub fn ticks_f64(self) -> f64 {
        let (numerator, denominator) = self.ticks();
        numerator as f64 / denominator as f64
    }

    /// Finds the unit written as `symbol`; `µm` is taken for `um`.
    ///
    /// ```
    /// use pairwright_engine::quantity::Unit;
    /// assert_eq!(Unit::from_symbol("mm"), Some(Unit::Millimetre));
    /// assert_eq!(Unit::from_symbol("furlong"), None);
    /// ```
    #[must_use]
    pub fn from_symbol(symbol: &str) -> Option<Self> {
        match symbol {
            "µm" | "μm" => Some(Self::Micrometre),
            _ => Self::WRITTEN.into_iter().find(|unit| unit.symbol() == symbol),
        }
    }

    /// The decimals that a bench figure in this unit is usually shown with: `in` 4, `mm` 3, a compression ratio 3.
    #[must_use]
    pub const fn usual_decimals(self) -> u8 {
        match self {
            Self::Inch => 4,
            Self::Millimetre | Self::CubicInch | Self::Ounce | Self::One => 3,
            Self::Thou | Self::Gram => 1,
            Self::Micrometre => 0,
            Self::CubicCentimetre | Self::Money => 2,
        }
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.symbol())
    }
}
