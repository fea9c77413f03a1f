//! A match as a pile sees it: the parts there are as the match has them, further ones by their numbers.

use super::affine::Affine;
use super::buying::Bought;
use super::{Couples, Fitting, Numbers, Together};
use crate::job::Next;
use crate::readings::{PartId, PositionId};

/// The fit of a match's aim and its limits, learned from the parts there are.
///
/// A part of the stock has the values that the match itself works with, `fits`, `keep` and `bar` included. A further part is known by its numbers
/// only; it may go wherever no part is kept, its limits being guarded as those of the stock's parts are in the middle.
#[derive(Clone, Debug)]
pub struct Learned {
    pub(super) positions: usize,
    /// The aim's fit for parts of the stock, position after position; `None` where they may not go.
    pub(super) stock: Vec<Option<i64>>,
    pub(super) parts: usize,
    /// The same by numbers; `None` where no further part may go.
    pub(super) aim: Vec<Option<Affine>>,
    pub(super) guards: Vec<Guard>,
    /// The fits of the widths, then those of neighbours.
    pub(super) beside: Vec<Beside>,
    pub(super) widths: Vec<i64>,
    pub(super) apart: Vec<i64>,
    pub(super) neighbours: Vec<(PositionId, PositionId)>,
    pub(super) bought: Bought,
    pub(super) together: Option<Together>,
    pub(super) couples: Option<Couples>,
}

/// A limit at one position, for further parts.
#[derive(Clone, Debug)]
pub(super) struct Guard {
    pub(super) position: usize,
    pub(super) value: Affine,
    pub(super) low: f64,
    pub(super) high: f64,
}

/// A fit whose spread, or whose difference between neighbours, is limited.
#[derive(Clone, Debug)]
pub(super) struct Beside {
    pub(super) stock: Vec<Option<i64>>,
    pub(super) by_numbers: Vec<Option<Affine>>,
}

impl Learned {
    /// Bundles of several parts a position.
    pub(super) fn of_bundles(together: Together) -> Self {
        let (bought, size) = (together.bought.clone(), (together.slots, together.parts));
        Self { bought, together: Some(together), ..Self::of_no_single_parts(size) }
    }

    /// Couples of a part that grows in number and one of another kind.
    pub(super) fn of_couples(couples: Couples) -> Self {
        let (bought, size) = (couples.bought.clone(), (couples.slots, couples.parts));
        Self { bought, couples: Some(couples), ..Self::of_no_single_parts(size) }
    }

    /// So many positions and parts, of which nothing is said one by one.
    fn of_no_single_parts((positions, parts): (usize, usize)) -> Self {
        Self {
            positions,
            stock: Vec::new(),
            parts,
            aim: Vec::new(),
            guards: Vec::new(),
            beside: Vec::new(),
            widths: Vec::new(),
            apart: Vec::new(),
            neighbours: Vec::new(),
            bought: Bought::default(),
            together: None,
            couples: None,
        }
    }

    /// What counts before the aim, in order.
    pub fn before(&self) -> &[Next] {
        &self.bought.before
    }

    fn cell(&self, cells: &[Option<i64>], position: PositionId, part: PartId) -> Option<f64> {
        let cell = cells.get(position.index() * self.parts + part.index()).copied().flatten();
        cell.map(|ticks| ticks as f64)
    }

    /// No more numbers than the aim needs tell whether parts add the same everywhere.
    fn common_factor(&self) -> Option<f64> {
        let free = self.together.is_none()
            && self.couples.is_none()
            && self.bought.is_nothing()
            && self.guards.is_empty()
            && self.beside.is_empty()
            && self.stock.iter().all(Option::is_some);
        let mut factors = self.aim.iter().map(|line| match line.as_ref()?.factors[..] {
            [first, ref rest @ ..] if rest.iter().all(|&factor| factor == 0.0) => Some(first),
            _ => None,
        });
        let first = factors.next().flatten().filter(|_| free)?;
        factors.all(|factor| factor.is_some_and(|factor| factor.to_bits() == first.to_bits())).then_some(first)
    }
}

impl Fitting for Learned {
    fn positions(&self) -> usize {
        self.positions
    }

    fn value(&self, position: PositionId, part: &[f64]) -> Option<f64> {
        let value = self.aim.get(position.index())?.as_ref()?.at(part);
        let here = self.guards.iter().filter(|guard| guard.position == position.index());
        let mut holds = here.map(|guard| (guard.low..=guard.high).contains(&guard.value.at(part)));
        holds.all(|holds| holds).then_some(value)
    }

    fn value_in_stock(&self, position: PositionId, part: PartId, _: &[f64]) -> Option<f64> {
        self.cell(&self.stock, position, part)
    }

    fn factor(&self) -> Option<f64> {
        self.common_factor()
    }

    fn widths(&self) -> &[i64] {
        &self.widths
    }

    fn apart(&self) -> &[i64] {
        &self.apart
    }

    fn neighbours(&self) -> &[(PositionId, PositionId)] {
        &self.neighbours
    }

    fn together(&self) -> Option<&Together> {
        self.together.as_ref()
    }

    fn couples(&self) -> Option<&Couples> {
        self.couples.as_ref()
    }

    fn before(&self) -> usize {
        self.bought.before.len()
    }

    fn adds(&self, criterion: usize, position: PositionId, part: Option<PartId>) -> i64 {
        self.bought.adds(criterion, position, part)
    }

    fn spend(&self) -> Option<i64> {
        self.bought.spend
    }

    fn price(&self, part: Option<PartId>) -> i64 {
        self.bought.price(part)
    }

    fn beside(&self, width: usize, position: PositionId, part: &[f64]) -> Option<f64> {
        Some(self.beside.get(width)?.by_numbers.get(position.index())?.as_ref()?.at(part))
    }

    fn beside_in_stock(&self, width: usize, position: PositionId, part: PartId, _: &[f64]) -> Option<f64> {
        self.cell(&self.beside.get(width)?.stock, position, part)
    }
}

/// The numbers of these parts, from the columns of all.
pub(super) fn numbers_of(columns: &[Vec<f64>], parts: &[usize]) -> Numbers {
    let mut numbers = Numbers::none(columns.len());
    for &part in parts {
        numbers.push(columns.iter().map(|column| column[part]));
    }
    numbers
}
