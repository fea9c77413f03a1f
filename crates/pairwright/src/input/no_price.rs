//! Rows of parts to buy whose price was forgotten: a part without a price costs nothing, and a plan would rather take it.

use pairwright_engine::job::{Part, Stock};

use crate::diagnostic::{Code, Collector, Diagnostic};

use super::grid::Grid;
use super::kinds;

/// A number of pieces may well be one's own. Where at least so many priced rows with a number come to one without a price, it is not.
const PRICED: usize = 3;

/// Warns of rows of which anybody may have any number, and no price, in a stock of `kind` where other rows have one.
pub(super) fn warn(stock: &Stock, grid: &Grid, found: &mut Collector) {
    let Some(prices) = grid.cells("price") else { return };
    if prices.iter().all(Option::is_none) {
        return;
    }
    let is_any = |part: &Part| match part.count {
        Some(count) => count == Part::ANY,
        None => stock.kind == kinds::ANY_UNLESS_COUNTED,
    };
    let is_counted = |part: &Part| part.count.is_some_and(|count| count != Part::ANY);
    let rows = || stock.parts.iter().zip(prices).enumerate();
    let free = |row: usize, price: &Option<_>| price.is_none() && !grid.is_bad(row, "price");
    let counted = rows().filter(|(_, (part, _))| is_counted(part));
    let (unpriced, priced): (Vec<_>, Vec<_>) = counted.partition(|(row, (_, price))| free(*row, price));
    let all_bought = priced.len() >= PRICED * unpriced.len();
    for (row, (part, price)) in rows() {
        if free(row, price) && (is_any(part) || is_counted(part) && all_bought) {
            let message = format!("{} `{}` has no price: it counts as free", stock.kind, part.id);
            let item = Diagnostic::warning(Code::NoteNoPrice, message)
                .at(grid.place(row, "price"), "")
                .help("write what one of them costs; if they are yours already, nothing follows");
            found.push(item.in_cell("price"));
        }
    }
}
