//! The fits a job can name.

use super::{DeclaredId, EntryId};
use crate::quantity::Dimension;

/// A quantity that results where parts meet a position.
///
/// What a fit is called and what it measures is asked of [`DeclaredFits`](super::DeclaredFits), which knows the built-in
/// ones and the job's own.
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
    /// A sum that the job declares.
    Declared(DeclaredId),
    /// What is left of an entry of the clearance ledger.
    Entry(EntryId),
}

/// What a built-in fit is called, and what it measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BuiltIn {
    /// The name in a job file and in output.
    pub name: &'static str,
    /// The name in a sentence.
    pub phrase: &'static str,
    /// What it measures.
    pub dimension: Dimension,
}

impl FitName {
    /// Every built-in fit, in the order in which output lists them.
    pub const BUILT_IN: [Self; 7] =
        [Self::Deck, Self::PistonToHead, Self::ClearanceVolume, Self::Compression, Self::Skirt, Self::Lift, Self::Mass];

    /// What a built-in fit is called; `None` for one that the job declares or measured.
    ///
    /// ```
    /// use pairwright_engine::job::{DeclaredId, FitName};
    /// assert_eq!(FitName::Skirt.built_in().map(|fit| fit.phrase), Some("skirt clearance"));
    /// assert_eq!(FitName::Declared(DeclaredId::new(0)).built_in(), None);
    /// ```
    #[must_use]
    pub const fn built_in(self) -> Option<BuiltIn> {
        let (name, phrase, dimension) = match self {
            Self::Deck => ("deck", "deck clearance", Dimension::Length),
            Self::Skirt => ("skirt", "skirt clearance", Dimension::Length),
            Self::Mass => ("mass", "mass", Dimension::Mass),
            Self::PistonToHead => ("piston_to_head", "piston-to-head clearance", Dimension::Length),
            Self::ClearanceVolume => ("clearance_volume", "clearance volume", Dimension::Volume),
            Self::Compression => ("compression", "compression", Dimension::Ratio),
            Self::Lift => ("lift", "valve lift", Dimension::Length),
            Self::Declared(_) | Self::Entry(_) => return None,
        };
        Some(BuiltIn { name, phrase, dimension })
    }

    /// Finds a built-in fit by its name.
    ///
    /// ```
    /// use pairwright_engine::job::FitName;
    /// assert_eq!(FitName::built_in_named("skirt"), Some(FitName::Skirt));
    /// assert_eq!(FitName::built_in_named("colour"), None);
    /// ```
    #[must_use]
    pub fn built_in_named(name: &str) -> Option<Self> {
        Self::BUILT_IN.into_iter().find(|fit| fit.built_in().is_some_and(|known| known.name == name))
    }
}
