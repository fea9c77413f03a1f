//! The best of a part's cheapest choices, by the criteria that follow and by the order of items.
//!
//! Those are the choices of pairs without excess that use every item whose price is below 0.

use super::costs::{Costs, Number, excess, item, slot};
use super::held::Held;
use crate::chain::best_of_region;
use crate::grid::{Bits, Grid};
use crate::matching::Matching;
use crate::problem::Problem;
use crate::region::Region;
use pairwright_proof::Item;
use std::sync::Arc;

/// The best one; `later` asks for the criteria after the first, if there are any.
pub(super) fn settle<W: Number>(costs: &Costs<W>, held: Held<W>, later: Option<&Problem<'_>>) -> Option<Held<W>> {
    let mut price_of = vec![W::ZERO; costs.items()];
    for (item, &price) in held.items.iter().zip(&held.item_price).skip(held.kept) {
        price_of[item.index()] = price;
    }
    let region = without_excess(costs, &held, &price_of);
    let items = match later {
        Some(later) => best_of_region(later, region)?,
        None => first_in_order(&region, &held),
    };
    Some(held.with_choice(Arc::from(items), |item| price_of[item.index()]))
}

fn without_excess<W: Number>(costs: &Costs<W>, held: &Held<W>, price_of: &[W]) -> Region<'static> {
    let mut grid = Grid::none(u32::try_from(costs.slots()).unwrap_or(u32::MAX), costs.items());
    let mut is_taken = vec![false; costs.items()];
    for (at, &kept) in held.items.iter().enumerate().take(held.kept) {
        grid.set(slot(at), kept);
        is_taken[kept.index()] = true;
    }
    for at in held.kept..costs.slots() {
        let slot_price = held.slot_price[at];
        let pairs = costs.row(at).iter().zip(price_of).enumerate();
        for (place, (&cost, &price)) in pairs {
            if excess(cost, slot_price, price) == W::ZERO && !is_taken[place] {
                grid.set(slot(at), item(place));
            }
        }
        for &barred in held.barred_at(at) {
            grid.clear(slot(at), barred);
        }
    }
    let mut must = Bits::none(costs.items());
    for (item, &price) in held.items.iter().zip(&held.item_price).skip(held.kept) {
        if price < W::ZERO {
            must.set(item.index());
        }
    }
    Region { grid, must, budgets: Vec::new() }
}

fn first_in_order<W>(region: &Region<'_>, held: &Held<W>) -> Vec<Item> {
    let mut matching = Matching::empty(&region.grid);
    for (at, &item) in held.items.iter().enumerate() {
        matching.join(slot(at), item);
    }
    matching.put_in_order(&region.grid, &region.must, || true);
    matching.choice()
}
