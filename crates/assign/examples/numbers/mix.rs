//! Numbers for made-up tables, the same in every run.

/// `SplitMix64` (Steele, Lea and Flood 2014; constants from memory).
pub(crate) struct Mix(pub(crate) u64);

impl Mix {
    /// The next number below `range`.
    pub(crate) fn below(&mut self, range: u64) -> i64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        i64::try_from((mixed ^ (mixed >> 31)) % range).unwrap_or(0)
    }
}
