//! The fits a job can name.

use crate::quantity::Dimension;

/// A quantity that results where parts meet a position.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum FitName {
    /// Deck clearance, positive with the piston above the deck.
    Deck,
    /// Skirt clearance: bore less piston diameter.
    Skirt,
    /// Mass of the parts at a position.
    Mass,
    /// Distance from the flat of the piston to the flat of the head.
    PistonToHead,
    /// What is left of the cylinder with the piston at the top.
    ClearanceVolume,
    /// Compression ratio.
    Compression,
    /// Lift of a valve.
    Lift,
}

impl FitName {
    /// Every fit, in the order in which output lists them.
    pub const ALL: [Self; 7] =
        [Self::Deck, Self::PistonToHead, Self::ClearanceVolume, Self::Compression, Self::Skirt, Self::Lift, Self::Mass];

    /// The name in a job file and in output.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Deck => "deck",
            Self::Skirt => "skirt",
            Self::Mass => "mass",
            Self::PistonToHead => "piston_to_head",
            Self::ClearanceVolume => "clearance_volume",
            Self::Compression => "compression",
            Self::Lift => "lift",
        }
    }

    /// The name in a sentence.
    #[must_use]
    pub const fn phrase(self) -> &'static str {
        match self {
            Self::Deck => "deck clearance",
            Self::Skirt => "skirt clearance",
            Self::Mass => "mass",
            Self::PistonToHead => "piston-to-head clearance",
            Self::ClearanceVolume => "clearance volume",
            Self::Compression => "compression",
            Self::Lift => "valve lift",
        }
    }

    /// What it measures.
    #[must_use]
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Deck | Self::Skirt | Self::PistonToHead | Self::Lift => Dimension::Length,
            Self::Mass => Dimension::Mass,
            Self::ClearanceVolume => Dimension::Volume,
            Self::Compression => Dimension::Ratio,
        }
    }

    /// Finds a fit by its name.
    ///
    /// ```
    /// use pairwright_engine::job::FitName;
    /// assert_eq!(FitName::named("skirt"), Some(FitName::Skirt));
    /// assert_eq!(FitName::named("colour"), None);
    /// ```
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|fit| fit.name() == name)
    }
}

impl std::fmt::Display for FitName {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.name())
    }
}
