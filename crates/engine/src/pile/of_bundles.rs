//! The pile of a match that places several parts of one kind a position.

use pairwright_assign::Item;
use pairwright_proof::Slot;

use super::buying::Bought;
use super::guarded::Guarded;
use super::learned::{Learned, numbers_of};
use super::lines::{Columns, Unexplained};
use super::of_match::{Gathered, MatchPile, NotReady, PileOfMatch};
use super::together::{Layer, Sum, Together};
use super::{Numbers, Pile, PileError, Population, Sought};
use crate::fit::Seat;
use crate::job::{Bounding, FitName};
use crate::limit::Limit;
use crate::plan::{LimitKind, Question, Setting, Several};

/// So many values of bundles of the stock are kept.
const KEPT: usize = 1 << 22;
/// So many bundles are looked at to see that a fit is a sum.
const LOOKED_AT: usize = 20_000;
/// Rounding to whole ticks, for each part of a bundle.
const ROUNDING: f64 = 2.0;
/// What the sum misses by less than this share of the stock's scatter counts as explained.
const SLIGHT: f64 = 0.02;

/// The pile of a match whose positions take bundles.
pub(super) fn pile_of_bundles(question: &Question<'_>, gathered: Gathered<'_>) -> Result<MatchPile, PileError> {
    let several = Several::by_widest_bands(question)?;
    match Seen::new(question, &several) {
        Ok(seen) => seen.pile(gathered),
        Err(why) => Ok(MatchPile::NotReady(why)),
    }
}

/// Bundles with the numbers of their parts.
struct Seen<'q> {
    question: &'q Question<'q>,
    several: &'q Several<'q>,
    each: usize,
    /// Parts whose numbers are known.
    measured: Vec<usize>,
    columns: Columns,
    numbers: Vec<FitName>,
    /// For every fit asked about, the aim's first, what positions make of parts by their numbers.
    sums: Vec<(FitName, Vec<Option<Sum>>)>,
}

impl<'q> Seen<'q> {
    fn new(question: &'q Question<'q>, several: &'q Several<'q>) -> Result<Self, NotReady> {
        let mut asked = vec![question.matching.aim.fit];
        for limit in &question.limits {
            if !asked.contains(&limit.fit) {
                asked.push(limit.fit);
            }
        }
        let each = several.shape().each;
        let parts = 0..question.stocks[question.first_role()].parts.len();
        let positions = 0..question.positions.len();
        let everywhere = |part: usize, name: FitName| {
            positions.clone().any(|position| value(question, name, position, &vec![part; each]).is_some())
        };
        let measured = parts.filter(|&part| asked.iter().all(|&name| everywhere(part, name))).collect();
        let mut seen = Self {
            question,
            several,
            each,
            measured,
            columns: Columns::default(),
            numbers: Vec::new(),
            sums: Vec::new(),
        };
        for name in asked {
            seen.learn(name)?;
        }
        Ok(seen)
    }

    /// A fit as a sum over the roles: what each part adds is told with one and the same part in all others.
    fn learn(&mut self, name: FitName) -> Result<(), NotReady> {
        let slots = self.question.positions.len();
        let Some(&other) = self.measured.first() else { return Err(NotReady::Untied(name)) };
        let row = |position: usize, role: usize| -> Vec<Option<f64>> {
            let with = |&part: &usize| {
                let mut bundle = vec![other; self.each];
                bundle[role] = part;
                value(self.question, name, position, &bundle)
            };
            self.measured.iter().map(with).collect()
        };
        let rows: Vec<Vec<Option<f64>>> = (0..slots)
            .flat_map(|position| (0..self.each).map(move |role| (position, role)))
            .map(|(at, role)| row(at, role))
            .collect();
        let lines = self.columns.learn(&rows).map_err(|why| match why {
            Unexplained::NoCommonPosition => NotReady::Untied(name),
            Unexplained::MoreNumbers => NotReady::MoreNumbers(name),
        })?;
        self.numbers.resize(self.columns.0.len(), name);
        let sum = |position: usize| {
            let lines = lines.iter().skip(position * self.each).take(self.each).cloned().collect::<Option<Vec<_>>>()?;
            Some(Sum { base: value(self.question, name, position, &vec![other; self.each])?, lines })
        };
        let sums: Vec<Option<Sum>> = (0..slots).map(sum).collect();
        if !self.is_sum(name, &sums) {
            return Err(NotReady::NoSum(name));
        }
        self.sums.push((name, sums));
        Ok(())
    }

    /// Whether bundles of different parts have the values that the sum says.
    fn is_sum(&self, name: FitName, sums: &[Option<Sum>]) -> bool {
        let numbers = self.numbers_of(&(0..self.measured.len()).collect::<Vec<_>>());
        let scatter = self.columns.0.last().map(|column| crate::statistics::Summary::of(column));
        let scatter = scatter.and_then(|scatter| scatter.standard_deviation()).unwrap_or(0.0);
        let tolerance = self.each as f64 * ROUNDING.max(SLIGHT * scatter);
        let count = self.measured.len();
        let all = count.saturating_pow(u32::try_from(self.each).unwrap_or(u32::MAX));
        let agrees = |position: usize, places: &[usize]| {
            let bundle: Vec<usize> = places.iter().map(|&place| self.measured[place]).collect();
            let known = value(self.question, name, position, &bundle).zip(sums[position].as_ref());
            known.is_none_or(|(known, sum)| {
                (sum.at(places.iter().map(|&place| numbers.part(place))) - known).abs() <= tolerance
            })
        };
        let step = all.div_ceil(LOOKED_AT).max(1);
        (0..all).step_by(step).all(|place| {
            let places = digits(place, count, self.each);
            (0..sums.len()).all(|position| agrees(position, &places))
        })
    }

    fn numbers_of(&self, which: &[usize]) -> Numbers {
        numbers_of(&self.columns.0, which)
    }

    fn pile(self, gathered: Gathered<'_>) -> Result<MatchPile, PileError> {
        let question = self.question;
        let stock = question.stocks[question.first_role()];
        let usable = self.several.usable();
        let place = |part: &usize| self.measured.binary_search(part).ok();
        let Some(known) = usable.iter().map(place).collect::<Option<Vec<usize>>>() else {
            return Ok(MatchPile::NotReady(NotReady::Untied(question.matching.aim.fit)));
        };
        let all: Vec<usize> =
            (0..self.measured.len()).filter(|&at| !stock.parts[self.measured[at]].is_type()).collect();
        let population = Population::of(&self.numbers_of(&all))?;
        let Some(together) = self.together(gathered) else { return Ok(MatchPile::NotReady(NotReady::TooManyBundles)) };
        let sought = Sought::of(&question.matching.aim);
        let pile = Pile::among(Learned::of_bundles(together), self.numbers_of(&known), population, sought)?;
        Ok(MatchPile::Ready(Box::new(PileOfMatch {
            kind: stock.kind.clone(),
            fit: question.matching.aim.fit,
            measured: all.len(),
            stated: usable.iter().filter(|&&part| stock.parts[part].is_type()).count(),
            numbers: self.numbers,
            pile,
        })))
    }

    fn together(&self, gathered: Gathered<'_>) -> Option<Together> {
        let (question, shape) = (self.question, self.several.shape());
        let usable = self.several.usable();
        let all = usable.len().checked_pow(u32::try_from(self.each).ok()?)?;
        if all.checked_mul(shape.slots)? > KEPT {
            return None;
        }
        let layer = |(at, (name, by_numbers)): (usize, &(FitName, Vec<Option<Sum>>))| {
            let cell = |(position, place): (usize, usize)| {
                let places = digits(place, usable.len(), self.each);
                let items: Vec<Item> =
                    places.iter().filter_map(|&item| u32::try_from(item).ok()).map(Item::new).collect();
                if at == 0 {
                    return self.several.aim(Slot::new(u32::try_from(position).ok()?), &items);
                }
                let bundle: Vec<usize> = places.iter().map(|&item| usable[item]).collect();
                question.fit(*name)?.value(seat(question, position, &bundle))
            };
            let cells = (0..shape.slots).flat_map(|position| (0..all).map(move |place| (position, place)));
            Layer { stock: cells.map(cell).collect(), by_numbers: by_numbers.clone() }
        };
        let roles = || (0..shape.slots).flat_map(|position| (0..self.each).map(move |role| (position, role)));
        let takes =
            |(position, role)| usable.iter().map(move |&part| self.several.role_takes(position, role, Some(part)));
        let of_kind = |wanted: LimitKind| {
            let all = self.several.differences().into_iter().filter(move |(_, kind, _)| *kind == wanted);
            all.filter_map(|(name, _, ticks)| Some((self.layer(name)?, ticks))).collect()
        };
        Some(Together {
            slots: shape.slots,
            each: self.each,
            roles: shape.roles,
            parts: usable.len(),
            layers: self.sums.iter().enumerate().map(layer).collect(),
            guards: question.limits.iter().flat_map(|limit| self.guards(limit)).collect(),
            takes: roles().flat_map(takes).collect(),
            takes_further: roles().map(|(position, role)| self.several.role_takes(position, role, None)).collect(),
            widths: of_kind(LimitKind::Spread),
            apart: of_kind(LimitKind::Neighbours),
            neighbours: self.several.side_by_side().to_vec(),
            bought: Bought::of(question, &Setting::default(), (question.first_role(), usable), gathered.price),
        })
    }

    fn layer(&self, name: FitName) -> Option<usize> {
        self.sums.iter().position(|(known, _)| *known == name)
    }

    /// A limit on single positions as bundles with further parts meet it.
    fn guards(&self, limit: &Limit) -> Vec<Guarded> {
        let (LimitKind::Side(side), Some(layer)) = (limit.kind, self.layer(limit.fit)) else { return Vec::new() };
        let guard = |slot: usize| {
            let bound = limit.bound(slot)? as f64;
            let band = self.band(limit, slot);
            let (low, high) = match side {
                Bounding::Min => (bound + band, f64::INFINITY),
                Bounding::Max => (f64::NEG_INFINITY, bound - band),
            };
            Some(Guarded { slot, layer, low, high })
        };
        (0..self.several.shape().slots).filter_map(guard).collect()
    }

    /// The guard band of a bundle in the middle of the stock, in whole ticks: of neighbours in the order of the stock.
    fn band(&self, limit: &Limit, position: usize) -> f64 {
        let own = |bundle: &[usize]| {
            let doubt = self.question.fit(limit.fit)?.doubt(seat(self.question, position, bundle))?;
            Some(limit.band(doubt, &self.question.guard).ceil())
        };
        let mut bands: Vec<f64> = self.measured.windows(self.each).filter_map(own).collect();
        bands.sort_by(f64::total_cmp);
        bands.get(bands.len() / 2).copied().unwrap_or(0.0)
    }
}

fn seat(question: &Question<'_>, position: usize, bundle: &[usize]) -> Seat {
    let seat = question.seat_beside(position, bundle.iter().copied().skip(1));
    bundle.first().map_or(seat, |&first| seat.with(question.first_role(), first))
}

fn value(question: &Question<'_>, name: FitName, position: usize, bundle: &[usize]) -> Option<f64> {
    question.fit(name)?.value(seat(question, position, bundle)).map(|ticks| ticks as f64)
}

/// The digits of a place, the first role's first.
fn digits(mut place: usize, base: usize, each: usize) -> Vec<usize> {
    let mut digits = Vec::with_capacity(each);
    for _ in 0..each {
        digits.push(place % base.max(1));
        place /= base.max(1);
    }
    digits.reverse();
    digits
}
