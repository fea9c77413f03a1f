//! Numbers an assignment can be priced in: ordered groups.

/// A number that can be added, subtracted and compared.
///
/// [`ABSENT`](Self::ABSENT) stands for a pair that is not there: twice as much as any other number in use may be, so that it
/// [stays absent](Self::is_absent) whatever prices and lengths are added to it or taken off, and nothing overflows.
pub(crate) trait Weight: Copy + Ord {
    const ZERO: Self;
    const ABSENT: Self;
    fn plus(self, other: Self) -> Self;
    fn minus(self, other: Self) -> Self;
    fn is_absent(self) -> bool;
}

impl Weight for i64 {
    const ZERO: Self = 0;
    const ABSENT: Self = 1 << 61;

    fn plus(self, other: Self) -> Self {
        self + other
    }

    fn minus(self, other: Self) -> Self {
        self - other
    }

    fn is_absent(self) -> bool {
        self >= 1 << 60
    }
}

impl Weight for i128 {
    const ZERO: Self = 0;
    const ABSENT: Self = 1 << 125;

    fn plus(self, other: Self) -> Self {
        self + other
    }

    fn minus(self, other: Self) -> Self {
        self - other
    }

    fn is_absent(self) -> bool {
        self >= 1 << 124
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
    const ABSENT: Self = Self { rank: 1 << 61, cost: 0 };

    fn plus(self, other: Self) -> Self {
        Self { rank: self.rank + other.rank, cost: self.cost + other.cost }
    }

    fn minus(self, other: Self) -> Self {
        Self { rank: self.rank - other.rank, cost: self.cost - other.cost }
    }

    fn is_absent(self) -> bool {
        self.rank >= 1 << 60
    }
}
