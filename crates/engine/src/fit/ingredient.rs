//! What a fit is made of, thing by thing.

use super::geometry::RATIO;

/// What a fit is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Ingredient {
    /// Deck clearance.
    Deck,
    /// The chambers of the heads.
    Chamber,
    /// Dish or dome of the pistons.
    Dish,
    /// The gaskets.
    Gasket,
    /// Bores, and throws where they are measured.
    Swept,
    /// Crevices.
    Crevice,
    /// Recesses of the heads.
    Recess,
}

/// A fit taken apart: how its value follows from the parts.
#[derive(Clone, Debug, PartialEq)]
pub enum Made {
    /// The value is the sum of these, in ticks.
    Sum(Vec<(Ingredient, f64)>),
    /// The value is a compression ratio, `RATIO · (1 + swept / Σ)`, of these volumes in ticks.
    Compression {
        /// What the clearance volume is the sum of.
        clearance: Vec<(Ingredient, f64)>,
        /// The swept volume.
        swept: f64,
    },
}

impl Made {
    /// Everything that it is made of, with its size.
    pub fn ingredients(&self) -> Vec<(Ingredient, f64)> {
        match self {
            Self::Sum(parts) => parts.clone(),
            Self::Compression { clearance, swept } => {
                clearance.iter().copied().chain([(Ingredient::Swept, *swept)]).collect()
            }
        }
    }

    /// The value that these ingredients make, in ticks.
    pub fn value(&self, of: impl Fn(Ingredient) -> f64) -> f64 {
        let sum = |parts: &[(Ingredient, f64)]| parts.iter().map(|&(ingredient, _)| of(ingredient)).sum::<f64>();
        match self {
            Self::Sum(parts) => sum(parts),
            Self::Compression { clearance, .. } => RATIO * (1.0 + of(Ingredient::Swept) / sum(clearance)),
        }
    }
}
