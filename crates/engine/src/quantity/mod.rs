//! Quantities: exact decimal text in, whole ticks inside, exact decimal text out.
//!
//! Numbers are parsed from the text as typed, never through a float, so no digit is lost and the
//! typed decimals are known. A length is a whole number of nanometres, which is exact for both
//! systems (1 in = 25.4 mm exactly).
//!
//! | dimension | tick | units |
//! | --- | --- | --- |
//! | length | 1 nm | `in`, `thou`, `mm`, `um` |
//! | volume | 1e-6 cc | `cc`, `in3` |
//! | mass | 0.1 mg | `g`, `oz` |
//! | ratio | 1e-6 | none |
//! | money | 0.01 | none |

mod amount;
mod bound;
mod decimal;
mod format;
mod unit;

pub use amount::{Amount, AmountError, Expected};
pub use bound::{BOUNDS, Bound};
pub use decimal::{Decimal, DecimalError};
pub use format::{exact_text, rounded_text};
pub use unit::{Dimension, Unit};

#[cfg(test)]
mod tests;
