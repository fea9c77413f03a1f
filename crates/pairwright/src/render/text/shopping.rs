//! What to buy for a plan.

use pairwright_engine::plan::{Bought, Plan, Shopping};
use pairwright_engine::quantity::Unit;

use super::english::{self, GLUE};
use super::figure;
use super::grid::Column;
use super::page::Page;
use super::placements::set;
use super::words::{Words, label};

/// A sum of money, in the currency of whoever wrote the prices.
pub(super) fn money(ticks: i64) -> String {
    figure::difference(ticks, Unit::Money, Unit::Money.usual_decimals())
}

/// Writes the shopping list, or that nothing is to be bought.
pub(super) fn shopping(page: &mut Page, words: Words<'_>, plan: &Plan) {
    let Some(shopping) = &plan.shopping else { return };
    page.heading("What to buy");
    if shopping.lines.is_empty() {
        page.say("Nothing: the plan uses no part that has a price.");
        return;
    }
    let each = |cell: &dyn Fn(&Bought) -> String| shopping.lines.iter().map(cell).collect::<Vec<_>>();
    let part = |line: &Bought| {
        let part = label(words.view.part(line.role, line.part));
        if several_kinds(shopping) { format!("{}{GLUE}{part}", label(words.view.kind(line.role))) } else { part }
    };
    let head = if several_kinds(shopping) { "part".to_owned() } else { label(words.view.kind(shopping.lines[0].role)) };
    let columns = vec![
        Column::new("pieces", each(&|line| line.count.to_string())),
        Column::new("each", each(&|line| money(line.price))),
        Column::new("together", each(&|line| money(line.total()))),
    ];
    set(page, &Column::new(head, each(&part)), &[columns]);
    page.gap();
    let pieces: u32 = shopping.lines.iter().map(|line| line.count).sum();
    let what = if several_kinds(shopping) { "part".to_owned() } else { label(words.view.kind(shopping.lines[0].role)) };
    page.say(&format!(
        "In all {} for {}. Parts without a price count as yours already; prices are in the currency that they were \
         written in.",
        english::count(usize::try_from(pieces).unwrap_or(usize::MAX), &what),
        money(shopping.total)
    ));
}

fn several_kinds(shopping: &Shopping) -> bool {
    shopping.lines.iter().any(|line| line.role != shopping.lines[0].role)
}
