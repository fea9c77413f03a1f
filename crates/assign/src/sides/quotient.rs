//! Quotients that stand in small numbers.

/// The numbers are below 2¹⁶, rounded where need be: a price or a weight gives a bound whatever it is.
const BITS: u32 = 16;

/// A quotient as p/q with small numbers; `None` if it is none, or 0.
pub(super) fn quotient(over: i128, under: i128) -> Option<(i128, i128)> {
    if over <= 0 || under <= 0 {
        return None;
    }
    let bits = 128 - over.max(under).leading_zeros();
    let shift = bits.saturating_sub(BITS);
    let (p, q) = (over >> shift, (under >> shift).max(1));
    (p > 0).then_some((p, q))
}
