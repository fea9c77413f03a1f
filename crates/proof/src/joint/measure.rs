//! What a joint choice is worth as a whole.

use crate::joint::check::{JointFault, Side};
use crate::measure::of_values;
use crate::{Couple, JointChoice, JointStatement, Measure};

/// The measure of a joint choice, in ticks (squares: in ticks squared); 0 if there are no slots.
///
/// # Errors
/// [`JointFault`] if the choice is none of this statement's, a value is outside ±[`JointStatement::LIMIT`], or a target is
/// so far out that squares leave the `i128`. Barred couples and items used twice are left to
/// [`check_joint`](crate::check_joint).
pub fn evaluate_joint(
    measure: Measure,
    statement: &JointStatement<'_>,
    choice: &JointChoice,
) -> Result<i128, JointFault> {
    of_values(measure, &values(statement, choice)?).map_err(|_| JointFault::Overflow)
}

fn values(statement: &JointStatement<'_>, choice: &JointChoice) -> Result<Vec<i128>, JointFault> {
    let expected = statement.slots();
    for (side, items) in [(Side::First, &choice.first), (Side::Second, &choice.second)] {
        let found = items.items().len();
        if found != expected {
            return Err(JointFault::Length { side, expected, found });
        }
    }
    if choice.outer.index() >= statement.offsets.len() {
        return Err(JointFault::NoOuter { outer: choice.outer });
    }
    let value = |(slot, first, second)| {
        let items = Couple { first, second };
        let value = statement.value(choice.outer, slot, items).ok_or(JointFault::Forbidden { slot, items })?;
        if !(-JointStatement::LIMIT..=JointStatement::LIMIT).contains(&value) {
            return Err(JointFault::Magnitude { slot, items, value });
        }
        Ok(i128::from(value))
    };
    choice.triples().map(value).collect()
}
