//! A little more of one thing, everything else as it is.

/// What an explanation asks about: so much more of something than the parts have, in ticks.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Shift {
    /// Every piston stands so much higher over its deck.
    pub(crate) deck: i64,
    /// Every gasket is so much thicker.
    pub(crate) gasket: i64,
    /// Every chamber holds so much more.
    pub(crate) chamber: i64,
}
