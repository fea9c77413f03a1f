//! Limits on single positions where several parts meet.

/// A limit at one position, for what has a further part in it.
#[derive(Clone, Debug)]
pub(super) struct Guarded {
    pub(super) slot: usize,
    /// The fit that is limited, by its place among those asked about.
    pub(super) layer: usize,
    /// The least value, in ticks, the guard band inside.
    pub(super) low: f64,
    /// The greatest value, in ticks.
    pub(super) high: f64,
}
