//! The one table of what a value may be: name, dimension, least and greatest.

use super::{Dimension, Unit};

/// A named quantity with the range outside which a value is a slip of the pen, not an engine part.
///
/// The ranges are deliberately wide (from a model engine to a ship's auxiliary) yet narrow enough
/// that millimetres in an inch column, or the other way round, fall outside for the large sizes.
/// They are ours, not a standard's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bound {
    /// The column or key, without its unit.
    pub name: &'static str,
    /// What it is, in the trade's words.
    pub meaning: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// The least value, in ticks.
    pub min: i64,
    /// The greatest value, in ticks.
    pub max: i64,
}

const MM: i64 = 1_000_000;
const CC: i64 = 1_000_000;
const G: i64 = 10_000;

const fn length(name: &'static str, meaning: &'static str, min_um: i64, max_mm: i64) -> Bound {
    Bound { name, meaning, dimension: Dimension::Length, min: min_um * 1_000, max: max_mm * MM }
}

/// A length that may be small but not nothing, up to 1 mm.
const fn positive(name: &'static str, meaning: &'static str) -> Bound {
    Bound { name, meaning, dimension: Dimension::Length, min: 1, max: MM }
}

const fn volume(name: &'static str, meaning: &'static str, min_cc: i64, max_cc: i64) -> Bound {
    Bound { name, meaning, dimension: Dimension::Volume, min: min_cc * CC, max: max_cc * CC }
}

/// Every quantity known by name.
pub const BOUNDS: &[Bound] = &[
    length("bore", "cylinder bore", 10_000, 1_000),
    length("stroke", "stroke of the crank", 10_000, 1_500),
    length("throw", "crank throw, half the stroke", 5_000, 750),
    length("deck_height", "crank centre to deck", 50_000, 3_000),
    length("compression_height", "pin centre to piston crown", 5_000, 500),
    length("diameter", "piston diameter over the skirt", 10_000, 1_000),
    length("length", "rod length, centre to centre", 20_000, 3_000),
    length("along", "distance along the bank from its front", 0, 10_000),
    length("deck", "deck clearance, positive above the deck", -10_000, 10),
    length("reading", "dial reading of deck clearance", -10_000, 10),
    length("skirt", "skirt clearance, bore less piston diameter", -2_000, 5),
    positive("resolution", "smallest step of the gauge"),
    positive("repeatability", "standard deviation of a repeated reading"),
    positive("form", "standard deviation of a deck about its straight line"),
    Bound { name: "mass", meaning: "mass of a part", dimension: Dimension::Mass, min: G / 10, max: 100_000 * G },
    volume("dish", "dish of a piston, a dome negative", -500, 500),
    Bound { name: "price", meaning: "price of a part", dimension: Dimension::Money, min: 0, max: 100_000_000 },
];

impl Bound {
    /// The bound of the quantity called `name`.
    ///
    /// ```
    /// use pairwright_engine::quantity::Bound;
    /// assert_eq!(Bound::named("bore").map(|bound| bound.meaning), Some("cylinder bore"));
    /// assert!(Bound::named("colour").is_none());
    /// ```
    #[must_use]
    pub fn named(name: &str) -> Option<&'static Self> {
        BOUNDS.iter().find(|bound| bound.name == name)
    }

    /// Whether `ticks` is inside; both ends count as inside.
    #[must_use]
    pub const fn holds(&self, ticks: i64) -> bool {
        self.min <= ticks && ticks <= self.max
    }

    /// The unit in which a value outside the range, typed in `typed`, would be inside it; that is
    /// most likely the unit the user had in mind.
    #[must_use]
    pub fn likely_unit(&self, value: super::Decimal, typed: Unit) -> Option<Unit> {
        Unit::WRITTEN
            .into_iter()
            .filter(|&unit| unit != typed && unit.dimension() == self.dimension)
            .find(|unit| value.times(unit.ticks()).is_some_and(|(ticks, _)| self.holds(ticks)))
    }
}
