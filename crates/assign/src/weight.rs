//! Numbers an assignment can be priced in: ordered groups.

/// A number that can be added, subtracted and compared; `ABSENT` stands for a pair that is not there.
pub(crate) trait Weight: Copy + Ord {
    const ZERO: Self;
    const ABSENT: Self;
    fn plus(self, other: Self) -> Self;
    fn minus(self, other: Self) -> Self;
}

impl Weight for i64 {
    const ZERO: Self = 0;
    const ABSENT: Self = i64::MAX;

    fn plus(self, other: Self) -> Self {
        self + other
    }

    fn minus(self, other: Self) -> Self {
        self - other
    }
}

impl Weight for i128 {
    const ZERO: Self = 0;
    const ABSENT: Self = i128::MAX;

    fn plus(self, other: Self) -> Self {
        self + other
    }

    fn minus(self, other: Self) -> Self {
        self - other
    }
}

/// Two numbers of which the first decides: the rank, then the cost.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Ranked {
    pub(crate) rank: i64,
    pub(crate) cost: i128,
}

impl Weight for Ranked {
    const ZERO: Self = Self { rank: 0, cost: 0 };
    const ABSENT: Self = Self { rank: i64::MAX, cost: i128::MAX };

    fn plus(self, other: Self) -> Self {
        Self { rank: self.rank + other.rank, cost: self.cost + other.cost }
    }

    fn minus(self, other: Self) -> Self {
        Self { rank: self.rank - other.rank, cost: self.cost - other.cost }
    }
}
