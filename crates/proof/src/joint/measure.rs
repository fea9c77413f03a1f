//! What a joint choice is worth as a whole.

use crate::joint::check::{JointFault, Side};
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
    let values = values(statement, choice)?;
    let least = values.iter().copied().min().unwrap_or(0);
    let greatest = values.iter().copied().max().unwrap_or(0);
    match measure {
        Measure::Spread => Ok(greatest - least),
        Measure::Total => Ok(values.iter().sum()),
        Measure::Greatest => Ok(greatest),
        Measure::Least => Ok(least),
        Measure::WorstFrom { target } => Ok(values.iter().map(|v| (v - i128::from(target)).abs()).max().unwrap_or(0)),
        Measure::SquaresFrom { target } => squares(&values, i128::from(target)).ok_or(JointFault::Overflow),
        Measure::SquaresAboutMean => about_mean(&values).ok_or(JointFault::Overflow),
    }
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

fn squares(values: &[i128], target: i128) -> Option<i128> {
    values.iter().try_fold(0_i128, |sum, v| {
        let away = v - target;
        sum.checked_add(away.checked_mul(away)?)
    })
}

fn about_mean(values: &[i128]) -> Option<i128> {
    let count = i128::try_from(values.len()).ok()?;
    let total: i128 = values.iter().sum();
    count.checked_mul(squares(values, 0)?)?.checked_sub(total.checked_mul(total)?)
}
