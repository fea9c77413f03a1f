//! Which windows hold a value.

use std::ops::Range;

/// Windows of one width, looked up by value.
pub(super) struct Places<'a> {
    starts: &'a [i64],
    width: i64,
    low: i64,
    high: i64,
    shift: u32,
    /// For every bucket of values the first window that reaches up to it.
    first: Vec<u32>,
}

/// Most buckets.
const BUCKETS: u64 = 1 << 19;

impl<'a> Places<'a> {
    /// Of windows with these lower ends, ascending.
    pub(super) fn new(starts: &'a [i64], width: i64) -> Self {
        let low = starts.first().copied().unwrap_or(0);
        let high = starts.last().map_or(low, |last| last.saturating_add(width));
        let range = high.abs_diff(low);
        let mut shift = 0;
        while range >> shift >= BUCKETS {
            shift += 1;
        }
        let mut first = Vec::new();
        let mut at = 0;
        for bucket in 0..=range >> shift {
            let value = low.saturating_add_unsigned(bucket << shift);
            while starts.get(at).is_some_and(|&start| start.saturating_add(width) < value) {
                at += 1;
            }
            first.push(u32::try_from(at).unwrap_or(u32::MAX));
        }
        Self { starts, width, low, high, shift, first }
    }

    /// The places of the windows that hold the value.
    pub(super) fn holding(&self, value: i64) -> Range<usize> {
        if value < self.low || value > self.high {
            return 0..0;
        }
        let bucket = usize::try_from(value.abs_diff(self.low) >> self.shift).unwrap_or(usize::MAX);
        let mut at = self.first.get(bucket).map_or(self.starts.len(), |&at| at as usize);
        while self.starts.get(at).is_some_and(|&start| start.saturating_add(self.width) < value) {
            at += 1;
        }
        let some = self.starts[at..].iter().take_while(|&&start| start <= value).count();
        at..at + some
    }
}
