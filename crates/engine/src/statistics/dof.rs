//! How much an estimated standard deviation is worth.

/// Degrees of freedom: greater than 0, possibly infinite, where the standard deviation is known rather than estimated.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Dof(f64);

impl Dof {
    /// A standard deviation known for certain.
    pub const INFINITE: Self = Self(f64::INFINITY);

    /// Degrees of freedom, or `None` unless `value > 0` (infinity is allowed).
    pub fn new(value: f64) -> Option<Self> {
        (value > 0.0).then_some(Self(value))
    }

    /// Degrees of freedom of a count, or `None` for 0.
    pub fn of_count(count: usize) -> Option<Self> {
        Self::new(count as f64)
    }

    /// The number, infinite where nothing was estimated.
    pub const fn value(self) -> f64 {
        self.0
    }
}
