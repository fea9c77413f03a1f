//! What the benchmarks share: medians of repeated runs, and numbers that look random.

use std::time::{Duration, Instant};

/// The median time of `runs` calls.
pub fn median(runs: usize, mut call: impl FnMut()) -> Duration {
    let mut times: Vec<Duration> = (0..runs.max(1))
        .map(|_| {
            let start = Instant::now();
            call();
            start.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[times.len() / 2]
}

/// Numbers that look random and are the same on every machine (Steele, Lea & Flood 2014, splitmix64;
/// constants from memory).
#[derive(Clone, Debug)]
pub struct Numbers(u64);

impl Numbers {
    /// The sequence of a seed.
    #[must_use]
    pub const fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next number below `bound`.
    pub const fn below(&mut self, bound: u64) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        (z ^ (z >> 31)) % bound
    }
}
