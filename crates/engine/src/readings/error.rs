//! Input that cannot be a set of readings.

use super::{PartId, PositionId};

/// Why readings could not be reduced.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ReduceError {
    /// A reading names a part beyond the list.
    #[error("line {line}: part number {} is outside the {parts} parts", part.index())]
    UnknownPart {
        /// The caller's line.
        line: u32,
        /// The part named.
        part: PartId,
        /// How many parts there are.
        parts: usize,
    },
    /// A reading names a position beyond the list.
    #[error("line {line}: position number {} is outside the {positions} positions", position.index())]
    UnknownPosition {
        /// The caller's line.
        line: u32,
        /// The position named.
        position: PositionId,
        /// How many positions there are.
        positions: usize,
    },
    /// A value is not a number, or too large for a length in an engine.
    #[error("line {line}: reading {value} nm is outside -{largest}..={largest} nm")]
    ValueOutOfRange {
        /// The caller's line.
        line: u32,
        /// The value in nm.
        value: f64,
        /// The largest magnitude accepted, in nm.
        largest: f64,
    },
    /// A resolution, repeatability or form that is no standard deviation or step.
    #[error("{name} {value} nm is outside {smallest}..={largest} nm")]
    GaugeOutOfRange {
        /// Which figure.
        name: &'static str,
        /// The value in nm.
        value: f64,
        /// The smallest accepted, in nm.
        smallest: f64,
        /// The largest accepted, in nm.
        largest: f64,
    },
    /// A bank names a position beyond the list.
    #[error("a bank names position number {}, outside the {positions} positions", position.index())]
    UnknownStation {
        /// The position named.
        position: PositionId,
        /// How many positions there are.
        positions: usize,
    },
    /// A coordinate along a bank is not a number, or too large.
    #[error("position number {}: coordinate {along} is outside -{largest}..={largest}", position.index())]
    CoordinateOutOfRange {
        /// The position.
        position: PositionId,
        /// Its coordinate.
        along: f64,
        /// The largest magnitude accepted.
        largest: f64,
    },
    /// The readings' weights differ so much that the equations lose all their digits.
    #[error("the readings' numbers of repeats differ too much to be solved together")]
    IllConditioned,
}
