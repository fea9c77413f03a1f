//! A piston in a cylinder.

/// A piston in a cylinder, by index: what a dial reading is taken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pair {
    /// Index of the cylinder.
    pub position: usize,
    /// Index of the piston in its stock.
    pub part: usize,
}
