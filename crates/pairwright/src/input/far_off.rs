//! Values that are possible and yet far off those of the other rows: mostly a slip of the pen.

use pairwright_engine::quantity::Amount;

use crate::diagnostic::{Code, Collector, Diagnostic};

use super::declared::Declared;
use super::grid::Grid;

/// How far from the middle value of its column a value may be before it is worth a look, in hundredths of that value:
/// parts of one engine differ by far less. Common practice, no source.
const FAR: [(&str, i128); 3] = [("bore", 2), ("diameter", 2), ("mass", 20)];

/// The same of columns that may hold several sizes (intake and exhaust, a few sizes of shims): there the value must also lie
/// [`TIMES`] as far off as most of the others. A lash is what is left of sizes, and one may well be twice another.
const FAR_OF_ALL: [(&str, i128); 9] = [
    ("compression_height", OWN),
    ("length", OWN),
    ("throw", OWN),
    ("deck_height", OWN),
    ("ratio", 10),
    ("lift", 10),
    ("reference_lobe", 10),
    ("lobe_lift", 10),
    ("lash", 100),
];

/// Hundredths of the middle value, for a column of the job's own.
const OWN: i128 = 5;
/// So many times as far from the middle value as the others are, a quarter of them not counted. Of our own making.
const TIMES: i128 = 10;

/// With fewer values there is no telling which of them is off.
const ENOUGH: usize = 3;

/// Warns of values of `grid`, the file of `owner`, that are far off the middle value of their column.
pub(super) fn warn(grid: &Grid, owner: &str, declared: &Declared, found: &mut Collector) {
    for name in grid.measured() {
        let Some((hundredths, times)) = allowed(name, owner, declared) else { continue };
        let Some(cells) = grid.cells(name) else { continue };
        let Some(middle) = middle(cells) else { continue };
        let usual = i128::from(middle.ticks());
        let share = usual.abs() * hundredths;
        let most = times * most_off(cells, usual);
        if share == 0 && most == 0 {
            // Nothing says how far is far.
            continue;
        }
        for (row, value) in cells.iter().enumerate() {
            let Some(value) = *value else { continue };
            let off = (i128::from(value.ticks()) - usual).abs();
            if off * 100 <= share || off <= most {
                continue;
            }
            let message = if usual == 0 {
                format!("{name}: {value} is far off the other values of the column")
            } else {
                format!("{name}: {value} is more than {hundredths} % off the middle value of the column")
            };
            let item = Diagnostic::warning(Code::NoteFarOff, message)
                .at(grid.place(row, name), format!("the middle value is {middle}"))
                .help("check the digits; if the value is right, nothing follows");
            found.push(item.in_cell(name));
        }
    }
}

/// How far off the values of a column may be: hundredths of the middle value, and times what most of them are off.
fn allowed(name: &str, owner: &str, declared: &Declared) -> Option<(i128, i128)> {
    let of = |table: &[(&str, i128)]| table.iter().find(|(known, _)| *known == name).map(|(_, hundredths)| *hundredths);
    let own = || declared.column(owner, name).map(|_| OWN);
    of(&FAR).map(|hundredths| (hundredths, 0)).or_else(|| Some((of(&FAR_OF_ALL).or_else(own)?, TIMES)))
}

/// The middle value; of two in the middle the lower.
fn middle(cells: &[Option<Amount>]) -> Option<Amount> {
    let mut values: Vec<_> = cells.iter().copied().flatten().collect();
    if values.len() < ENOUGH {
        return None;
    }
    let middle = (values.len() - 1) / 2;
    Some(*values.select_nth_unstable_by_key(middle, |value| value.ticks()).1)
}

/// How far from `usual` the values are at most, but for a quarter of them and at least one: two sizes that share a column,
/// one of them in a third of the rows, are no slip.
fn most_off(cells: &[Option<Amount>], usual: i128) -> i128 {
    let mut off: Vec<i128> = cells.iter().flatten().map(|value| (i128::from(value.ticks()) - usual).abs()).collect();
    let Some(at) = off.len().checked_sub(1 + (off.len() / 4).max(1)) else { return 0 };
    *off.select_nth_unstable(at).1
}

#[cfg(test)]
mod tests {
    use pairwright_engine::quantity::Unit;

    use super::*;

    fn amounts(ticks: &[i64]) -> Vec<Option<Amount>> {
        ticks.iter().map(|&ticks| Some(Amount::new(ticks, Unit::Millimetre, 0))).collect()
    }

    #[test]
    fn the_middle_value_is_that_of_the_sorted_column_and_needs_three() {
        let middle = |cells: &[Option<Amount>]| middle(cells).map(Amount::ticks);
        assert_eq!(middle(&[amounts(&[3]), vec![None], amounts(&[1])].concat()), None);
        assert_eq!(middle(&[amounts(&[3]), vec![None], amounts(&[1, 2])].concat()), Some(2));
        assert_eq!(middle(&amounts(&[4, 3, 1, 2])), Some(2));
    }

    #[test]
    fn what_most_values_are_off_leaves_out_one_or_a_quarter_and_no_third() {
        assert_eq!(most_off(&amounts(&[10, 11, 99]), 10), 1);
        assert_eq!(most_off(&amounts(&[10, 10, 10, 10, 10, 12, 99, 99]), 10), 2);
        assert_eq!(most_off(&amounts(&[10, 10, 14, 10, 10, 14]), 10), 4);
        assert_eq!(most_off(&[], 10), 0);
    }
}
