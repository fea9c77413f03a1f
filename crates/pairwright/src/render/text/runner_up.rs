//! The next best part of every position, as columns of the table.

use pairwright_engine::explain::{Alternative, AtMost, Price, RunnerUp};
use pairwright_engine::plan::{Placement, Plan};

use super::english::{self, GLUE};
use super::figure;
use super::grid::Column;
use super::page::Page;
use super::settings::brief;
use super::shopping::money;
use super::words::Words;

/// The runner-up and its price, as columns in the order of the placements.
pub(super) fn columns(words: Words<'_>, plan: &Plan, runners_up: &[RunnerUp]) -> Vec<Column> {
    if runners_up.is_empty() || !words.view.places_first_kind() {
        return Vec::new();
    }
    let at = |position: usize| runners_up.iter().find(|runner| runner.position == position).map(|runner| &runner.plan);
    let part = |position: usize| match at(position) {
        Some(Alternative::Found { parts, seconds, .. }) if !words.view.of_one_kind().is_empty() => {
            words.part_ids(&words.view.together(parts, seconds, position))
        }
        Some(Alternative::Found { parts, .. }) => {
            parts.get(position).map_or_else(String::new, |&part| words.part_id(part))
        }
        Some(Alternative::NoPlan) => "no other".to_owned(),
        Some(Alternative::TooDear { .. }) => "too dear".to_owned(),
        Some(Alternative::Undecided) => "none found".to_owned(),
        None => String::new(),
    };
    let price = |cell: &dyn Fn(&Price) -> String| {
        let one = |position: usize| match at(position) {
            Some(Alternative::Found { price, .. }) => cell(price),
            _ => String::new(),
        };
        plan.placements.iter().map(|place| one(place.position)).collect::<Vec<_>>()
    };
    let mut all = vec![Column::new("runner-up", plan.placements.iter().map(|place| part(place.position)).collect())];
    if prices(runners_up).any(|(_, price)| price.aim != 0) {
        let head = format!("{} worse by", words.aim_measure());
        all.push(Column::new(head, price(&|price| words.price_cell(price.aim))));
    }
    all.push(Column::new("more spread", price(&|price| words.price_cell(price.spread))));
    all.push(Column::new("more scatter", price(&|price| words.price_cell(figure::whole(price.scatter)))));
    if prices(runners_up).any(|(_, price)| price.money != 0) {
        all.push(Column::new("more to spend", price(&|price| money_cell(price.money))));
    }
    let changes = |place: &Placement| {
        at(place.position).map_or_else(String::new, |other| brief(words, plan, place.position, other))
    };
    let changes: Vec<String> = plan.placements.iter().map(changes).collect();
    if changes.iter().any(|change| !change.is_empty()) {
        all.push(Column::new("changes too", changes));
    }
    all
}

/// More money: the sum alone where it is more, `none`, or with the word `less`.
fn money_cell(ticks: i64) -> String {
    match ticks {
        0 => "none".to_owned(),
        1.. => money(ticks),
        _ => format!("{}{GLUE}less", money(-ticks)),
    }
}

/// Which of the prices the readings cannot tell from nothing.
pub(super) fn note(page: &mut Page, words: Words<'_>, plan: &Plan, runners_up: &[RunnerUp]) {
    if runners_up.is_empty() || !words.view.places_first_kind() {
        return;
    }
    let too = words
        .others_as_planned()
        .map_or_else(String::new, |others| format!(" It may have other {others}, too: what of them changes is named."));
    let (another, too) = if words.view.of_one_kind().is_empty() {
        (format!("another {}", words.kind()), too)
    } else {
        let too = " What it changes in other places, too, is named.".to_owned();
        (format!("other {}, or one other,", english::plural(&words.kind())), too)
    };
    page.plain(&format!(
        "Runner-up: the best plan that puts {another} there, and what it costs.{too} Scatter: root mean square distance \
         from the mean."
    ));
    for (at_most, what) in [(AtMost::All, "price"), (AtMost::AfterTheAim, "scatter")] {
        let open = prices(runners_up).filter(|(_, price)| price.at_most == at_most);
        let open = open.filter(|(_, price)| at_most == AtMost::All || price.scatter > 0.0);
        let open: Vec<usize> = open.map(|(position, _)| position).collect();
        if !open.is_empty() {
            page.plain(&format!(
                "The search ended before the least {what} was found for {}: it is at most what stands there.",
                words.positions(&open)
            ));
        }
    }
    for runner in runners_up {
        if let Alternative::TooDear { least } = runner.plan {
            let place = english::sentence(&words.position(runner.position));
            page.plain(&format!("{place} with another: {}.", words.too_dear(least)));
        }
    }
    let costs = |price: &Price| price.spread != 0 || price.aim != 0;
    let priced: Vec<usize> = prices(runners_up).filter(|(_, price)| costs(price)).map(|(at, _)| at).collect();
    let doubted = prices(runners_up).filter(|(_, price)| costs(price) && price.below_doubt);
    let doubted: Vec<usize> = doubted.map(|(position, _)| position).collect();
    if doubted.is_empty() {
        return;
    }
    let which = if doubted.len() == priced.len() { "all of them".to_owned() } else { words.positions(&doubted) };
    let doubt = words.difference(figure::whole(plan.summary.expected_spread.doubt()));
    page.plain(&english::sentence(&format!(
        "the {} leave the spread in doubt by {doubt}: a price in spread below that may be no price at all \
         (so for {which}).",
        words.measured()
    )));
}

fn prices(runners_up: &[RunnerUp]) -> impl Iterator<Item = (usize, &Price)> {
    runners_up.iter().filter_map(|runner| match &runner.plan {
        Alternative::Found { price, .. } => Some((runner.position, price)),
        Alternative::NoPlan | Alternative::TooDear { .. } | Alternative::Undecided => None,
    })
}
