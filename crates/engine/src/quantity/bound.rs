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
    positive_to(name, meaning, 1)
}

/// A length that may be small but not nothing, up to so many millimetres.
const fn positive_to(name: &'static str, meaning: &'static str, max_mm: i64) -> Bound {
    Bound { name, meaning, dimension: Dimension::Length, min: 1, max: max_mm * MM }
}

const fn volume(name: &'static str, meaning: &'static str, min_cc: i64, max_cc: i64) -> Bound {
    Bound { name, meaning, dimension: Dimension::Volume, min: min_cc * CC, max: max_cc * CC }
}

const fn ratio(name: &'static str, meaning: &'static str, max: i64) -> Bound {
    Bound { name, meaning, dimension: Dimension::Ratio, min: 0, max: max * 1_000_000 }
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
    length("rod_length", "rod length, centre to centre", 20_000, 3_000),
    length("along", "distance along the bank from its front", 0, 10_000),
    length("deck", "deck clearance, positive above the deck", -10_000, 10),
    length("reading", "dial reading of deck clearance", -10_000, 10),
    length("skirt", "skirt clearance, bore less piston diameter", -2_000, 5),
    positive("resolution", "smallest step of the gauge"),
    positive("repeatability", "standard deviation of a repeated reading"),
    positive("form", "standard deviation of a deck about its straight line"),
    Bound { name: "mass", meaning: "mass of a part", dimension: Dimension::Mass, min: G / 10, max: 100_000 * G },
    volume("dish", "dish of a piston, a dome negative", -500, 500),
    volume("chamber", "volume of a combustion chamber", 1, 500),
    Bound {
        name: "crevice",
        meaning: "volume open to the chamber besides",
        dimension: Dimension::Volume,
        min: 0,
        max: 100 * CC,
    },
    Bound {
        name: "gasket",
        meaning: "volume inside a compressed gasket",
        dimension: Dimension::Volume,
        min: CC / 100,
        max: 500 * CC,
    },
    positive_to("thickness", "compressed thickness of a gasket", 10),
    length("recess", "depth of a recess in the head's face", 0, 50),
    length("piston_to_head", "piston-to-head clearance", -10_000, 50),
    volume("clearance_volume", "clearance volume", 0, 2_000),
    Bound {
        name: "compression",
        meaning: "compression ratio",
        dimension: Dimension::Ratio,
        min: 2_000_000,
        max: 40_000_000,
    },
    length("lobe_lift", "lift of a cam's lobe", 1_000, 25),
    length("reference_lobe", "lift of the lobe that rockers were read over", 1_000, 25),
    length("lash", "valve lash", 0, 2),
    length("lift", "lift of a valve", 1_000, 40),
    length("clearance", "clearance as read on the mock-up", -5_000, 100),
    length("u", "standard uncertainty of a clearance as read", 0, 2),
    length("minimum", "least clearance that may be left", 0, 100),
    length("lift_there", "lift of a valve at the crank angle of a reading", 0, 40),
    ratio("angle", "angle of a valve to the bore, in degrees", 60),
    Bound { name: "ratio", meaning: "ratio of a rocker", dimension: Dimension::Ratio, min: 500_000, max: 4_000_000 },
    Bound { name: "price", meaning: "price of a part", dimension: Dimension::Money, min: 0, max: 100_000_000 },
    Bound { name: "spend", meaning: "sum to spend", dimension: Dimension::Money, min: 0, max: 10_000_000_000 },
    length("crown_allowance", "metal that may come off a piston's crown", 0, 10),
];

/// Ranges of what a machine shop does.
const WORK: &[Bound] = &[
    positive_to("cut", "metal taken off", 10),
    length("dish_diameter", "diameter of a piston's dish", 5_000, 1_000),
    Bound {
        name: "change",
        meaning: "change of a chamber's volume",
        dimension: Dimension::Volume,
        min: -100 * CC,
        max: 100 * CC,
    },
    ratio("hours", "hours of work", 10_000),
];

/// Ranges of standard uncertainties: the `u_…` columns and the values of `[uncertainty]`.
const UNCERTAINTIES: &[Bound] = &[
    length("u_bore", "standard uncertainty of a bore", 0, 1),
    length("u_throw", "standard uncertainty of a throw", 0, 1),
    length("u_deck_height", "standard uncertainty of a deck height", 0, 1),
    length("u_compression_height", "standard uncertainty of a compression height", 0, 1),
    length("u_diameter", "standard uncertainty of a piston diameter", 0, 1),
    length("u_length", "standard uncertainty of a rod length", 0, 1),
    length("u_along", "standard uncertainty of a distance along the bank", 0, 100),
    Bound {
        name: "u_mass",
        meaning: "standard uncertainty of a mass",
        dimension: Dimension::Mass,
        min: 0,
        max: 1_000 * G,
    },
    volume("u_dish", "standard uncertainty of a dish", 0, 100),
    volume("u_chamber", "standard uncertainty of a chamber", 0, 100),
    volume("u_crevice", "standard uncertainty of a crevice volume", 0, 100),
    volume("u_gasket", "standard uncertainty of a gasket's volume", 0, 100),
    length("u_thickness", "standard uncertainty of a gasket's thickness", 0, 1),
    length("u_recess", "standard uncertainty of a recess", 0, 1),
    length("u_lobe_lift", "standard uncertainty of a lobe's lift", 0, 1),
    length("u_reference_lobe", "standard uncertainty of a reference lobe's lift", 0, 1),
    length("u_lash", "standard uncertainty of a lash", 0, 1),
    length("u_lift", "standard uncertainty of a lift read over a reference lobe", 0, 1),
    Bound {
        name: "u_ratio",
        meaning: "standard uncertainty of a rocker's ratio",
        dimension: Dimension::Ratio,
        min: 0,
        max: 1_000_000,
    },
    length("u_stroke", "standard uncertainty of the stroke", 0, 1),
    length("u_rod_length", "standard uncertainty of the rod length", 0, 1),
];

/// Ranges of what a poured volume is read with.
const POURS: &[Bound] = &[
    Bound {
        name: "resolution",
        meaning: "smallest step of the burette",
        dimension: Dimension::Volume,
        min: 1,
        max: 10 * CC,
    },
    Bound {
        name: "repeatability",
        meaning: "standard deviation of a repeated pour",
        dimension: Dimension::Volume,
        min: 1,
        max: 10 * CC,
    },
];

/// Ranges of differences between two values of a fit: a spread allowed, a slack given.
const DIFFERENCES: &[Bound] = &[
    length("spread", "largest less smallest value", 0, 20),
    length("slack", "what an aim may give for the next", 0, 20),
    Bound {
        name: "spread",
        meaning: "largest less smallest mass",
        dimension: Dimension::Mass,
        min: 0,
        max: 100_000 * G,
    },
    Bound {
        name: "slack",
        meaning: "what an aim may give for the next",
        dimension: Dimension::Mass,
        min: 0,
        max: 100_000 * G,
    },
    length("neighbours", "difference between neighbours of a bank", 0, 20),
    Bound {
        name: "neighbours",
        meaning: "difference in mass between neighbours of a bank",
        dimension: Dimension::Mass,
        min: 0,
        max: 100_000 * G,
    },
    volume("neighbours", "difference in volume between neighbours of a bank", 0, 500),
    ratio("neighbours", "difference in ratio between neighbours of a bank", 20),
    volume("spread", "largest less smallest volume", 0, 500),
    volume("slack", "what an aim may give for the next", 0, 500),
    ratio("spread", "largest less smallest ratio", 20),
    ratio("slack", "what an aim may give for the next", 20),
];

impl Bound {
    /// The range of a piece of work: `cut`, `dish_diameter`, `change`, `hours`.
    #[must_use]
    pub fn work(name: &str) -> Option<&'static Self> {
        WORK.iter().find(|bound| bound.name == name)
    }

    /// The range of a standard uncertainty of the quantity called `name`; it is called `u_name`.
    ///
    /// ```
    /// use pairwright_engine::quantity::Bound;
    /// assert_eq!(Bound::uncertainty_of("bore").map(|bound| bound.name), Some("u_bore"));
    /// assert!(Bound::uncertainty_of("price").is_none());
    /// ```
    #[must_use]
    pub fn uncertainty_of(name: &str) -> Option<&'static Self> {
        UNCERTAINTIES.iter().find(|bound| bound.name.strip_prefix("u_") == Some(name))
    }

    /// The range of what is stated about pours, called `name` (`resolution` or `repeatability`).
    ///
    /// ```
    /// use pairwright_engine::quantity::{Bound, Dimension};
    /// assert_eq!(Bound::of_pours("resolution").map(|bound| bound.dimension), Some(Dimension::Volume));
    /// ```
    #[must_use]
    pub fn of_pours(name: &str) -> Option<&'static Self> {
        POURS.iter().find(|bound| bound.name == name)
    }

    /// The range of a difference called `name` (`spread`, `neighbours` or `slack`) between two values that
    /// measure `dimension`.
    ///
    /// ```
    /// use pairwright_engine::quantity::{Bound, Dimension};
    /// assert_eq!(Bound::difference("spread", Dimension::Mass).map(|bound| bound.min), Some(0));
    /// assert!(Bound::difference("spread", Dimension::Money).is_none());
    /// ```
    #[must_use]
    pub fn difference(name: &str, dimension: Dimension) -> Option<&'static Self> {
        DIFFERENCES.iter().find(|bound| bound.name == name && bound.dimension == dimension)
    }

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
