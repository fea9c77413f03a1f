//! What leaves the values uneven.

use pairwright_engine::explain::Contribution;
use pairwright_engine::fit::Ingredient;

use super::figure;
use super::grid::Column;
use super::page::Page;
use super::placements::set;
use super::words::Words;

/// Writes the spread that each thing alone would leave, the largest first.
pub(super) fn contributions(page: &mut Page, words: Words<'_>, all: &[Contribution]) {
    if all.is_empty() {
        return;
    }
    page.heading("What leaves it uneven");
    page.say(&format!(
        "The spread of {} that would be left if only this one thing differed from {place} to {place}. They partly \
         cancel each other in the plan, so they do not add up to its spread.",
        words.phrase(words.aim_fit()),
        place = words.view.position_kind()
    ));
    let sizes = all.iter().map(|one| if one.spread == 0 { "none".to_owned() } else { size(words, one) }).collect();
    let names = all.iter().map(|one| name(one.of).to_owned()).collect();
    set(page, &Column::new("if only this differed", names), &[vec![Column::new("spread", sizes)]]);
}

fn size(words: Words<'_>, one: &Contribution) -> String {
    figure::size(one.spread, words.unit(), words.decimals)
}

/// What is measured, as the bench says it.
const fn name(of: Ingredient) -> &'static str {
    match of {
        Ingredient::Deck => "deck clearance",
        Ingredient::Chamber => "chambers",
        Ingredient::Dish => "dish or dome",
        Ingredient::Gasket => "gaskets",
        Ingredient::Swept => "swept volume",
        Ingredient::Crevice => "crevices",
        Ingredient::Recess => "recess of the heads",
    }
}
