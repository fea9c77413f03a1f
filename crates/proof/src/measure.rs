//! What a choice is worth as a whole.

use crate::{Choice, Fault, Table};

/// A number made of the values v of all chosen pairs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Measure {
    /// Largest minus smallest value.
    Spread,
    /// Σ v.
    Total,
    /// The largest value.
    Greatest,
    /// The smallest value.
    Least,
    /// The largest |v − target|.
    WorstFrom {
        /// Where every value should be, in ticks.
        target: i64,
    },
    /// Σ (v − target)².
    SquaresFrom {
        /// Where every value should be, in ticks.
        target: i64,
    },
    /// n·Σ v² − (Σ v)² over n slots: n times the sum of squares about the values' own mean, a whole number.
    SquaresAboutMean,
}

/// The measure of a choice, in ticks (squares: in ticks squared); 0 if there are no slots.
///
/// # Errors
/// [`Fault::Length`] or [`Fault::Forbidden`] if the choice is none of this table; [`Fault::Overflow`] if a target is so
/// far out that squares leave the `i128`.
pub fn evaluate(measure: Measure, table: &Table, choice: &Choice) -> Result<i128, Fault> {
    of_values(measure, &values(table, choice)?)
}

/// The measure of these values; 0 if there are none. The only fault is that squares leave the `i128`.
pub(crate) fn of_values(measure: Measure, values: &[i128]) -> Result<i128, Fault> {
    let least = values.iter().copied().min().unwrap_or(0);
    let greatest = values.iter().copied().max().unwrap_or(0);
    match measure {
        Measure::Spread => Ok(greatest - least),
        Measure::Total => Ok(values.iter().sum()),
        Measure::Greatest => Ok(greatest),
        Measure::Least => Ok(least),
        Measure::WorstFrom { target } => {
            let target = i128::from(target);
            Ok(values.iter().map(|v| (v - target).abs()).max().unwrap_or(0))
        }
        Measure::SquaresFrom { target } => squares(values, i128::from(target)).ok_or(Fault::Overflow),
        Measure::SquaresAboutMean => about_mean(values).ok_or(Fault::Overflow),
    }
}

fn values(table: &Table, choice: &Choice) -> Result<Vec<i128>, Fault> {
    let expected = table.shape().slots;
    let found = choice.items().len();
    if found != expected {
        return Err(Fault::Length { expected, found });
    }
    choice
        .pairs()
        .map(|(slot, item)| table.get(slot, item).map(i128::from).ok_or(Fault::Forbidden { slot, item }))
        .collect()
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Item, Shape, Slot};

    fn table() -> Table {
        Table::from_cells(
            Shape { slots: 3, items: 3 },
            &[Some(1), Some(8), None, Some(-2), Some(4), Some(0), Some(7), Some(3), Some(6)],
        )
        .unwrap()
    }

    fn choice(items: [u32; 3]) -> Choice {
        Choice::new(items.into_iter().map(Item::new).collect())
    }

    #[test]
    fn every_measure_by_hand() {
        // Values 8, 0, 7: mean 5, squares about it 9 + 25 + 4 = 38, times 3 = 114.
        let all = [
            (Measure::Spread, 8),
            (Measure::Total, 15),
            (Measure::Greatest, 8),
            (Measure::Least, 0),
            (Measure::WorstFrom { target: 7 }, 7),
            (Measure::SquaresFrom { target: 7 }, 1 + 49),
            (Measure::SquaresAboutMean, 114),
        ];
        for (measure, value) in all {
            assert_eq!(evaluate(measure, &table(), &choice([1, 2, 0])), Ok(value), "{measure:?}");
        }
    }

    #[test]
    fn a_choice_that_is_none_is_a_fault() {
        assert_eq!(
            evaluate(Measure::Total, &table(), &choice([2, 1, 0])),
            Err(Fault::Forbidden { slot: Slot::new(0), item: Item::new(2) })
        );
        assert_eq!(
            evaluate(Measure::Total, &table(), &Choice::new(vec![])),
            Err(Fault::Length { expected: 3, found: 0 })
        );
        let far = Measure::SquaresFrom { target: i64::MIN };
        assert_eq!(evaluate(far, &table(), &choice([1, 2, 0])), Err(Fault::Overflow));
    }
}
