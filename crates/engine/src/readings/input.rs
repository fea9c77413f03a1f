//! What the caller hands over.

use super::{PartId, PositionId, ReduceError};

/// Magnitude beyond which a number is no gauge reading: 1 km in nanometres.
const LARGEST: f64 = 1e12;
/// Smallest resolution or repeatability: a millionth of a nanometre.
const SMALLEST: f64 = 1e-6;

/// One gauge value.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reading {
    /// The part that was in place.
    pub part: PartId,
    /// The position it was in.
    pub position: PositionId,
    /// The value in nm, with the job's sign (positive above), those of one part all on one rod.
    pub value: f64,
    /// Number of the spot where the gauge stood; `None` is a spot of its own.
    pub spot: Option<u32>,
    /// Left out by the user: takes no part in any estimate, but is compared with the prediction.
    pub left_out: bool,
    /// The caller's line number, by which findings refer to the reading.
    pub line: u32,
}

/// What is known of the gauge beforehand.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Gauge {
    /// The step in which the gauge was read, in nm (the typed decimals where nothing else is known).
    pub resolution: Option<f64>,
    /// Stated standard deviation of one reading in nm, the gauge's own without the rounding to its step. Counts as 10 degrees of freedom.
    pub repeatability: Option<f64>,
}

/// A position of a bank and where along it that position lies.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Station {
    /// The position.
    pub position: PositionId,
    /// Its coordinate along the bank, in any unit that the whole bank shares.
    pub along: f64,
}

/// The deck of one bank.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Deck {
    /// The positions of the bank.
    pub stations: Vec<Station>,
    /// The user's word that this deck is straight, so that a position nobody measured lies on the line of the others.
    pub straight: bool,
    /// Standard deviation in nm of the deck about its straight line, where stated.
    pub form: Option<f64>,
}

impl Reading {
    pub(super) fn check(&self, parts: usize, positions: usize) -> Result<(), ReduceError> {
        let line = self.line;
        if self.part.index() >= parts {
            return Err(ReduceError::UnknownPart { line, part: self.part, parts });
        }
        if self.position.index() >= positions {
            return Err(ReduceError::UnknownPosition { line, position: self.position, positions });
        }
        if self.value.is_nan() || self.value.abs() > LARGEST {
            return Err(ReduceError::ValueOutOfRange { line, value: self.value, largest: LARGEST });
        }
        Ok(())
    }
}

fn check_deviation(name: &'static str, value: Option<f64>) -> Result<(), ReduceError> {
    match value {
        Some(value) if !(SMALLEST..=LARGEST).contains(&value) => {
            Err(ReduceError::GaugeOutOfRange { name, value, smallest: SMALLEST, largest: LARGEST })
        }
        _ => Ok(()),
    }
}

impl Gauge {
    pub(super) fn check(&self) -> Result<(), ReduceError> {
        check_deviation("resolution", self.resolution)?;
        check_deviation("repeatability", self.repeatability)
    }
}

impl Deck {
    pub(super) fn check(&self, positions: usize) -> Result<(), ReduceError> {
        check_deviation("form", self.form)?;
        for station in &self.stations {
            if station.position.index() >= positions {
                return Err(ReduceError::UnknownStation { position: station.position, positions });
            }
            if station.along.is_nan() || station.along.abs() > LARGEST {
                return Err(ReduceError::CoordinateOutOfRange {
                    position: station.position,
                    along: station.along,
                    largest: LARGEST,
                });
            }
        }
        Ok(())
    }
}
