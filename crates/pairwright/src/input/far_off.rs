//! Values that are possible and yet far off those of the other rows: mostly a slip of the pen.

use pairwright_engine::quantity::Amount;

use crate::diagnostic::{Code, Collector, Diagnostic};

use super::grid::Grid;

/// How far from the middle value of its column a value may be before it is worth a look, in hundredths of that value:
/// parts of one engine differ by far less. Common practice, no source.
const FAR: [(&str, i128); 3] = [("bore", 2), ("diameter", 2), ("mass", 20)];

/// With fewer values there is no telling which of them is off.
const ENOUGH: usize = 3;

/// Warns of values of `grid` that are far off the middle value of their column.
pub(super) fn warn(grid: &Grid, found: &mut Collector) {
    for (name, hundredths) in FAR {
        let Some(cells) = grid.cells(name) else { continue };
        let Some(middle) = median(cells) else { continue };
        let usual = i128::from(middle.ticks());
        for (row, value) in cells.iter().enumerate() {
            let Some(value) = *value else { continue };
            if (i128::from(value.ticks()) - usual).abs() * 100 <= usual.abs() * hundredths {
                continue;
            }
            let message = format!("{name}: {value} is more than {hundredths} % off the middle value of the column");
            let item = Diagnostic::warning(Code::NoteFarOff, message)
                .at(grid.place(row, name), format!("the middle value is {middle}"))
                .help("check the digits; if the value is right, nothing follows");
            found.push(item.in_cell(name));
        }
    }
}

/// The middle value; of two in the middle the lower.
fn median(cells: &[Option<Amount>]) -> Option<Amount> {
    let mut values: Vec<_> = cells.iter().copied().flatten().collect();
    if values.len() < ENOUGH {
        return None;
    }
    let middle = (values.len() - 1) / 2;
    Some(*values.select_nth_unstable_by_key(middle, |value| value.ticks()).1)
}

#[cfg(test)]
mod tests {
    use pairwright_engine::quantity::Unit;

    use super::*;

    #[test]
    fn the_middle_value_is_that_of_the_sorted_column_and_needs_three() {
        let amount = |ticks: i64| Some(Amount::new(ticks, Unit::Millimetre, 0));
        let median = |cells: &[Option<Amount>]| median(cells).map(Amount::ticks);
        assert_eq!(median(&[amount(3), None, amount(1)]), None);
        assert_eq!(median(&[amount(3), None, amount(1), amount(2)]), Some(2));
        assert_eq!(median(&[amount(4), amount(3), amount(1), amount(2)]), Some(2));
    }
}
