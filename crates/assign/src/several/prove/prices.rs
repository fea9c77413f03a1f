//! Prices of items that raise the bound.

use super::node::{Ground, Node, Rule};
use crate::grid::{Bits, Grid};
use crate::several::problem::SeveralProblem;
use crate::sum;
use pairwright_proof::{Item, Measure, Sense, SeveralStep, Slot, Worth};

/// Subgradient steps.
pub(super) const STEPS: usize = 80;
/// Costs are taken so many times, so that prices can be told apart more finely.
const FINE: i128 = 8;

/// Longer than any step has to be.
const LONGEST: i128 = 1 << 100;

/// Prices in force.
#[derive(Debug)]
pub(super) struct Priced {
    scale: i128,
    about: i128,
    /// For every item, or empty for none.
    items: Vec<i128>,
    /// What every open serving costs less the prices of its items.
    pub(super) own: Vec<i128>,
}

impl Priced {
    pub(super) fn new(ground: &Ground, open: &[u32], scale: i128, about: i128, items: Vec<i128>) -> Self {
        let mut own = vec![0; ground.servings.len()];
        for &at in open {
            let value = ground.serving(at).value;
            let cost = match ground.rule {
                Rule::Total { sign, .. } => sign * value,
                Rule::Squares { .. } | Rule::Mean { .. } => ground.slots as i128 * value * value - 2 * about * value,
                Rule::Free | Rule::Spread { .. } => 0,
            };
            let prices = if items.is_empty() { 0 } else { members(ground.serving(at).items).map(|i| items[i]).sum() };
            own[at as usize] = scale * cost - prices;
        }
        Self { scale, about, items, own }
    }

    /// What all servings may cost if their sum is between these ends; `None` if nothing can be.
    pub(super) fn most(&self, ground: &Ground, [low, high]: [i128; 2]) -> Option<i128> {
        if low > high {
            return None;
        }
        let limit = match ground.rule {
            Rule::Total { most, .. } => most,
            Rule::Mean { most } => {
                let gain = |sum: i128| 2 * self.about * sum - sum * sum;
                most - gain(low).min(gain(high))
            }
            Rule::Squares { target, most } => {
                let aim = ground.slots as i128 * target;
                let turn = 2 * (self.about - aim);
                most - (turn * low).min(turn * high) - aim * aim
            }
            Rule::Free | Rule::Spread { .. } => return None,
        };
        Some(self.scale * limit)
    }

    /// What every arrangement of these servings costs at least, and every slot.
    pub(super) fn bound(&self, ground: &Ground, open: &[u32]) -> (i128, Vec<i128>) {
        let mut least = vec![i128::MAX; ground.slots];
        let mut met = 0;
        for &at in open {
            let serving = ground.serving(at);
            met |= serving.items;
            least[serving.slot] = least[serving.slot].min(self.own[at as usize]);
        }
        let counts = |item: usize, price: i128| ground.all_used || (price < 0 && met >> item & 1 == 1);
        let items = self.items.iter().enumerate().filter(|&(item, &price)| counts(item, price));
        (least.iter().sum::<i128>() + items.map(|(_, price)| price).sum::<i128>(), least)
    }

    pub(super) fn step(&self) -> SeveralStep {
        let items = (0..).map(Item::new).zip(&self.items).filter(|&(_, &price)| price != 0);
        SeveralStep::Prices {
            scale: self.scale,
            about: self.about,
            items: items.map(|(item, &price)| (item, price)).collect(),
        }
    }

    pub(super) fn about(&self) -> i128 {
        self.about
    }
}

pub(super) fn members(mut set: u128) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let member = (set != 0).then(|| set.trailing_zeros() as usize);
        set &= set.wrapping_sub(1);
        member
    })
}

/// For a total of values that add up item by item: the prices of the assignment of items to the places of the slots.
pub(super) fn of_table(problem: &SeveralProblem<'_>) -> Option<Vec<i128>> {
    let (Measure::Total, Worth::Sum { table, .. }) = (problem.measure, problem.worth) else {
        return None;
    };
    let sign = if problem.sense == Sense::Least { 1 } else { -1 };
    let each = problem.pile.each;
    let places = u32::try_from(problem.pile.slots.checked_mul(each)?).ok()?;
    let slot = |place: Slot| Slot::new(u32::try_from(place.index() / each.max(1)).unwrap_or(u32::MAX));
    let mut grid = Grid::none(places, problem.pile.items);
    for place in (0..places).map(Slot::new) {
        for item in table.items().filter(|&item| table.get(slot(place), item).is_some()) {
            grid.set(place, item);
        }
    }
    let none = Bits::none(problem.pile.items);
    let cost = |place: Slot, item: Item| sign * i128::from(table.row(slot(place))[item.index()]);
    let mut prices = vec![0; problem.pile.items];
    for (item, price) in sum::cheapest(&grid, &none, cost)?.prices(&none)?.items {
        prices[item.index()] = price;
    }
    Some(prices)
}

/// The best prices found about this sum.
pub(super) fn raise(ground: &Ground, node: &Node, about: i128) -> Priced {
    if let Some(prices) = &ground.prices {
        return Priced::new(ground, &node.open, 1, about, prices.clone());
    }
    let mut best = Priced::new(ground, &node.open, FINE, about, vec![0; ground.items]);
    let (mut bound, mut least) = best.bound(ground, &node.open);
    let mut now = Priced { items: best.items.clone(), own: best.own.clone(), ..best };
    let (mut reached, mut idle) = (bound, 1);
    for _ in 0..STEPS {
        let most = now.most(ground, node.reach(ground)).unwrap_or(i128::MIN);
        let lack = lack(ground, node, &now, &least);
        let length: i128 = lack.iter().map(|lack| lack * lack).sum();
        if length == 0 || bound > most {
            break;
        }
        let stride = (most.saturating_sub(reached).max(1) / (length * idle)).clamp(1, LONGEST);
        let mut prices = std::mem::take(&mut now.items);
        for (price, lack) in prices.iter_mut().zip(&lack) {
            *price += stride * lack;
            if !ground.all_used {
                *price = (*price).min(0);
            }
        }
        now = Priced::new(ground, &node.open, FINE, about, prices);
        (reached, least) = now.bound(ground, &node.open);
        if reached > bound {
            bound = reached;
            best = Priced { items: now.items.clone(), own: now.own.clone(), ..now };
        } else {
            idle += 1;
        }
    }
    best
}

/// By how much the cheapest servings use every item too little; for an item that may stay out, not at all counts as enough
/// where it has no price.
fn lack(ground: &Ground, node: &Node, priced: &Priced, least: &[i128]) -> Vec<i128> {
    let mut lack = vec![1; ground.items];
    for own in node.by_slot(ground) {
        let cheapest = own.iter().find(|&&at| priced.own[at as usize] == least[ground.serving(at).slot]);
        if let Some(&at) = cheapest {
            members(ground.serving(at).items).for_each(|item| lack[item] -= 1);
        }
    }
    for (lack, &price) in lack.iter_mut().zip(&priced.items) {
        if *lack > 0 && price == 0 && !ground.all_used {
            *lack = 0;
        }
    }
    lack
}
