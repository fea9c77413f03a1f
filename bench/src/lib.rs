//! What the benchmarks share: medians of repeated runs in time of the processor, and numbers that look random.

use std::time::Duration;

use rustix::time::{ClockId, clock_gettime};

/// A batch of calls takes at least so long: reading the clock takes up to a microsecond.
const BATCH: Duration = Duration::from_micros(200);

/// The time that the processor has spent on this process, all its threads together.
///
/// A busy machine lets a process wait; that does not count.
#[must_use]
pub fn cpu_time() -> Duration {
    let spent = clock_gettime(ClockId::ProcessCPUTime);
    Duration::new(spent.tv_sec.unsigned_abs(), u32::try_from(spent.tv_nsec).unwrap_or(0))
}

/// The processor's time for a call, and what it gives.
pub fn timed<T>(call: impl FnOnce() -> T) -> (Duration, T) {
    let start = cpu_time();
    let given = call();
    (cpu_time().saturating_sub(start), given)
}

/// The median, over `runs` batches, of the processor's time for a call; a batch is one call, or as many as take a fifth of a
/// millisecond.
pub fn median(runs: usize, mut call: impl FnMut()) -> Duration {
    let mut batch = |calls: u32| timed(|| (0..calls).for_each(|_| call())).0;
    let mut calls = 1;
    while batch(calls) < BATCH && calls < 1 << 16 {
        calls *= 2;
    }
    let mut times: Vec<Duration> = (0..runs.max(1)).map(|_| batch(calls) / calls).collect();
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
