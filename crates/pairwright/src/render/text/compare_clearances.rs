//! What the plans of a comparison leave of the clearances of the ledger.

use pairwright_engine::clearance::{Carried, State};
use pairwright_engine::what_if::{Row, RowPlan};

use super::clearances::headroom_text;
use super::english::short_list;
use super::page::Page;
use super::words::{free_text, label};
use crate::render::Style;
use crate::render::compare::{CompareView, planned};

/// At most so many clearances are named of a sort.
const NAMED: usize = 4;

/// The clearances that are not held, sort by sort, a sentence each.
pub(super) fn not_held(row: &Row, planned: &RowPlan) -> String {
    let sort = |carried: &Carried| match carried.state {
        State::Held => None,
        State::Broken => Some("Less is left than has to be of"),
        State::Nominal => Some("Not held by its guard band is"),
        State::MeasureAgain(_) => Some("To be measured again:"),
    };
    let mut sorts: Vec<(&str, Vec<String>)> = Vec::new();
    for carried in planned.unheld() {
        let Some(sort) = sort(carried) else { continue };
        let name = row.job.ledger.get(carried.id).map_or_else(String::new, |entry| label(&entry.name));
        match sorts.iter_mut().find(|(known, _)| *known == sort) {
            Some((_, names)) => names.push(name),
            None => sorts.push((sort, vec![name])),
        }
    }
    let sentence = |(sort, names): (&str, Vec<String>)| format!("{sort} {}. ", short_list(&names, NAMED));
    sorts.into_iter().map(sentence).collect::<Vec<_>>().concat()
}

/// How much room every clearance leaves, plan by plan.
pub(super) fn headroom(compare: CompareView<'_>, style: &Style) -> String {
    let mut text = String::new();
    for row in compare.rows() {
        let Some(ledger) = planned(row).and_then(|planned| planned.ledger.as_ref()) else { continue };
        let mut page = Page::new(*style);
        page.name(&free_text(compare.name(row)));
        text.push('\n');
        text += page.into_text().trim_start();
        text.push('\n');
        text += &headroom_text(&row.job, ledger, style);
    }
    text
}
