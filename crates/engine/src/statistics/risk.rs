//! A probability of being wrong.

/// A chance strictly between 0 and 1, such as the 0.025 left outside one side of an interval.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Risk(f64);

impl Risk {
    /// The 1 in 40 left outside each side of a 95 % interval.
    pub const ONE_IN_40: Self = Self(0.025);
    /// The 1 in 20 left outside both sides of a 95 % interval together.
    pub const ONE_IN_20: Self = Self(0.05);

    /// A risk, or `None` unless `0 < value < 1`.
    pub fn new(value: f64) -> Option<Self> {
        (value > 0.0 && value < 1.0).then_some(Self(value))
    }

    /// The chance as a number between 0 and 1.
    pub const fn value(self) -> f64 {
        self.0
    }

    /// The same risk shared out evenly over `count` events (Bonferroni); a `count` of 0 counts as 1.
    #[must_use]
    pub fn shared_by(self, count: usize) -> Self {
        // A share below the smallest normal number would be 0, which is no risk at all.
        Self((self.0 / count.max(1) as f64).max(f64::MIN_POSITIVE))
    }
}

#[cfg(test)]
mod tests {
    use super::Risk;

    #[test]
    fn only_a_chance_between_none_and_certain_is_a_risk() {
        for bad in [0.0, 1.0, -0.1, 1.1, f64::NAN, f64::INFINITY] {
            assert_eq!(Risk::new(bad), None);
        }
        assert_eq!(Risk::new(0.025), Some(Risk::ONE_IN_40));
        assert_eq!(Risk::ONE_IN_20.shared_by(2), Risk::ONE_IN_40);
    }
}
