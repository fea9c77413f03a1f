//! Several parts of one kind a position: what a bundle of them is worth, known ones and further ones alike.

use pairwright_assign::Item;
use pairwright_proof::{Pile as Shape, Roles, Slot};

use super::affine::Affine;
use super::buying::Bought;
use super::guarded::Guarded;
use super::solve::{Choice, One, whole};

/// Positions that take several parts of one pile each.
///
/// A bundle of parts of the stock has the value that the match gives it. One with a further part in it has what each of its parts adds by its
/// numbers; it may stand where no role of it is kept or barred, its limits guarded like those of a bundle in the middle of the stock.
#[derive(Clone, Debug)]
pub struct Together {
    pub(super) slots: usize,
    pub(super) each: usize,
    pub(super) roles: Roles,
    /// How many parts the stock has.
    pub(super) parts: usize,
    /// The aim's fit, then the others that limits are about.
    pub(super) layers: Vec<Layer>,
    pub(super) guards: Vec<Guarded>,
    /// Whether a part of the stock may take a role, position after position, role after role.
    pub(super) takes: Vec<bool>,
    /// The same of any further part.
    pub(super) takes_further: Vec<bool>,
    /// Layers whose spread is limited, in ticks.
    pub(super) widths: Vec<(usize, i64)>,
    /// Layers whose difference between neighbours is limited.
    pub(super) apart: Vec<(usize, i64)>,
    pub(super) neighbours: Vec<(Slot, Slot)>,
    pub(super) bought: Bought,
}

/// A fit of bundles.
#[derive(Clone, Debug)]
pub(super) struct Layer {
    /// The values of bundles of the stock, position after position, the items the digits of their place.
    pub(super) stock: Vec<Option<i64>>,
    /// By numbers: for every position what each role's part makes of it, all others the same one part; `None` where nothing is known.
    pub(super) by_numbers: Vec<Option<Sum>>,
}

/// A sum over the roles of a position: `base + Σ (line(part) − base)`.
#[derive(Clone, Debug)]
pub(super) struct Sum {
    pub(super) base: f64,
    pub(super) lines: Vec<Affine>,
}

/// Parts to choose bundles from.
pub(super) struct Bundled<'t> {
    pub(super) together: &'t Together,
    items: usize,
    /// What each part adds: layer, position, role, item.
    adds: Vec<f64>,
}

impl Sum {
    /// The value of parts by their numbers.
    pub(super) fn at<'n>(&self, parts: impl Iterator<Item = &'n [f64]>) -> f64 {
        self.base + self.lines.iter().zip(parts).map(|(line, part)| line.at(part) - self.base).sum::<f64>()
    }
}

impl Together {
    /// Further parts beyond which bundles are more than the solver lists.
    pub(super) fn most_further(&self, most_items: usize, most_bundles: usize) -> usize {
        let orders = if self.roles == Roles::Told { (1..=self.each).product() } else { 1_usize };
        let bundles = |items: usize| {
            let sets = (0..self.each)
                .try_fold(1_usize, |sets, at| Some(sets.checked_mul(items.saturating_sub(at))? / (at + 1)));
            sets.and_then(|sets| sets.checked_mul(orders)?.checked_mul(self.slots))
        };
        let fits = |further: &usize| bundles(self.parts + further).is_some_and(|bundles| bundles <= most_bundles);
        (0..=most_items.saturating_sub(self.parts)).rev().find(fits).unwrap_or(0)
    }
}

impl<'t> Bundled<'t> {
    pub(super) fn new(together: &'t Together, parts: Choice<'_>) -> Self {
        let (items, each, slots) = (parts.len(), together.each, together.slots);
        let mut adds = Vec::with_capacity(together.layers.len() * slots * each * items);
        for layer in &together.layers {
            for sum in layer.by_numbers.iter().take(slots) {
                for role in 0..each {
                    adds.extend((0..items).map(|item| {
                        let (One::InStock(_, numbers) | One::Further(numbers)) = parts.part(item);
                        sum.as_ref().map_or(f64::NAN, |sum| sum.lines[role].at(numbers) - sum.base)
                    }));
                }
            }
        }
        Self { together, items, adds }
    }

    /// How the solver sees it.
    pub(super) fn shape(&self) -> Shape {
        let Together { slots, each, roles, .. } = *self.together;
        Shape { slots, items: self.items, each, roles }
    }

    /// The aim's value of a bundle, where it may stand.
    pub(super) fn aim(&self, slot: Slot, items: &[Item]) -> Option<i64> {
        if self.is_known(items) {
            return self.value(0, slot, items);
        }
        let takes = |(role, item): (usize, &Item)| {
            let at = slot.index() * self.together.each + role;
            match self.in_stock(*item) {
                Some(part) => self.together.takes[at * self.together.parts + part],
                None => self.together.takes_further[at],
            }
        };
        let here = self.together.guards.iter().filter(|guard| guard.slot == slot.index());
        let mut hold = here.map(|guard| {
            self.by_numbers(guard.layer, slot, items).is_some_and(|value| (guard.low..=guard.high).contains(&value))
        });
        if items.iter().enumerate().all(takes) && hold.all(|holds| holds) { self.value(0, slot, items) } else { None }
    }

    /// The value of a bundle in a layer, wherever it may stand.
    pub(super) fn value(&self, layer: usize, slot: Slot, items: &[Item]) -> Option<i64> {
        if !self.is_known(items) {
            return whole(self.by_numbers(layer, slot, items)?);
        }
        let parts = self.together.parts;
        let place = items.iter().fold(0, |place, item| place * parts + item.index());
        let all = parts.checked_pow(u32::try_from(self.together.each).ok()?)?;
        self.together.layers.get(layer)?.stock.get(slot.index() * all + place).copied().flatten()
    }

    /// What a bundle adds to a total before the aim, and to what is spent where `criterion` is `None`.
    pub(super) fn counted(&self, criterion: Option<usize>, slot: Slot, items: &[Item]) -> i64 {
        let bought = &self.together.bought;
        let id = |part: usize| crate::readings::PartId::new(u32::try_from(part).unwrap_or(u32::MAX));
        let own = |item: &Item| {
            let part = self.in_stock(*item).map(id);
            match criterion {
                Some(criterion) => bought.adds(criterion, super::solve::position(slot), part),
                None => bought.price(part),
            }
        };
        items.iter().map(own).sum()
    }

    fn by_numbers(&self, layer: usize, slot: Slot, items: &[Item]) -> Option<f64> {
        let Together { slots, each, .. } = *self.together;
        let base = self.together.layers.get(layer)?.by_numbers.get(slot.index())?.as_ref()?.base;
        let from = (layer * slots + slot.index()) * each;
        let adds = items.iter().enumerate().map(|(role, item)| self.adds[(from + role) * self.items + item.index()]);
        Some(base + adds.sum::<f64>())
    }

    fn is_known(&self, items: &[Item]) -> bool {
        items.iter().all(|item| item.index() < self.together.parts)
    }

    fn in_stock(&self, item: Item) -> Option<usize> {
        Some(item.index()).filter(|&index| index < self.together.parts)
    }
}
