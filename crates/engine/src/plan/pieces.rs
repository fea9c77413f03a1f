//! Outer choices of a later criterion: what the criteria before it leave, piece by piece.
//!
//! Once the least spread is known, the choices within it all lie in a window of that width, and every window is an outer
//! choice of its own, under which nothing is left to compare. A worst distance leaves out what lies further away. Totals and
//! squares stay as limits on sums, unless parts of a total can be told by sets (`affordable`); squares about the mean q of n positions also leave no spread above √(2q/n).

use std::sync::Arc;

use pairwright_assign::{Couple, Item, JointAim, JointPrices, Outer, Slot, Table, joint_prices};
use pairwright_proof::Measure;

use super::choose::PlanError;
use super::couples::{Couples, Numbering, words_of};
use super::joint::Joint;
use super::levels::Level;
use super::likeness::Likeness;
use super::outers::Dressed;
use super::served::serve;

/// More pieces than this are not made: windows are then compared two positions at a time.
const MOST: usize = 1 << 12;
/// Nor more than so many words of [`Couples`] in all of them.
const WORDS: usize = 1 << 21;

/// An outer choice of [`Joint`], and what is left of it.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) setting: usize,
    /// The parts that may still come together.
    open: Arc<Couples>,
    /// For every total settled before, what it leaves here.
    priced: Vec<Arc<Priced>>,
}

/// What a settled total leaves of a piece, by prices of the parts.
///
/// With prices of at least 0 no choice has a smaller total than the least of value and prices in every position, less all
/// prices: a triple that is dearer than the least of its position by more than the total may still give is part of none.
/// So it is for any prices.
#[derive(Debug)]
struct Priced {
    level: usize,
    parts: [Vec<i64>; 2],
    /// All prices together.
    all: i64,
}

impl Priced {
    /// A value with the prices of the parts.
    fn with(&self, value: i64, items: Couple) -> i64 {
        let price = |kind: usize, item: Item| self.parts[kind].get(item.index()).copied().unwrap_or(0);
        value + price(0, items.first) + price(1, items.second)
    }
}

impl Piece {
    /// A value of a settled total with the prices of the parts, all prices taken off in the first position.
    pub(super) fn priced_value(&self, level: usize, value: i64, slot: Slot, items: Couple) -> i64 {
        let Some(priced) = self.priced.iter().find(|priced| priced.level == level) else { return value };
        priced.with(value, items) - if slot.index() == 0 { priced.all } else { 0 }
    }
}

/// What a criterion is chosen among.
#[derive(Debug)]
pub(super) struct Left<'j, 'q> {
    pub(super) joint: &'j Joint<'q>,
    pub(super) levels: &'j [Level],
    pub(super) tables: [Table; 2],
    pub(super) pieces: Vec<Piece>,
    /// The sums that are held: criterion, measure, and what it may come to.
    pub(super) sums: Vec<(usize, Measure, i128)>,
    /// Spreads that are compared two positions at a time: criterion and width.
    pub(super) apart: Vec<(usize, i64)>,
    numbering: Numbering,
    /// Sums are not held: proofs are about all choices that the rest leaves, which are more.
    without_sums: bool,
}

/// A position and two parts with a value.
pub(super) type Valued = (i64, Slot, Couple);

impl<'j, 'q> Left<'j, 'q> {
    pub(super) fn new(
        joint: &'j Joint<'q>,
        levels: &'j [Level],
        tables: [Table; 2],
        outers: impl Iterator<Item = Dressed>,
    ) -> Self {
        let pieces = outers.map(|Dressed { setting, open }| Piece { setting, open, priced: Vec::new() }).collect();
        let numbering = joint.numbering();
        Self { joint, levels, tables, pieces, sums: Vec::new(), apart: Vec::new(), numbering, without_sums: false }
    }

    /// The same without what no proof speaks of.
    pub(super) fn for_proofs(self) -> Self {
        Self { without_sums: true, ..self }
    }

    /// Keeps to choices whose criterion `level` is at most `bound`, as the solver counts.
    pub(super) fn hold(&mut self, level: usize, bound: i128) -> Result<(), PlanError> {
        let bounded = i64::try_from(bound).unwrap_or(i64::MAX / 4).min(i64::MAX / 4);
        let measure = self.levels[level].aim.measure();
        match self.levels[level].aim {
            JointAim::WorstFrom { target } => {
                self.narrow(level, |value| (value - target).abs() <= bounded);
            }
            JointAim::Spread => self.window(level, bounded),
            JointAim::SquaresAboutMean => {
                let positions = self.tables[0].shape().slots.max(1) as i128;
                let width = bound.max(0).saturating_mul(2) / positions;
                self.window(level, i64::try_from(width.isqrt()).unwrap_or(i64::MAX / 4));
                self.hold_sum(level, measure, bound);
            }
            JointAim::SquaresFrom { .. } => self.hold_sum(level, measure, bound),
            JointAim::Total => {
                if !self.price(level, bound)? && !self.split_by_price(level, bound) {
                    self.hold_sum(level, measure, bound);
                }
            }
        }
        Ok(())
    }

    /// Leaves what prices of parts let through of a total of at most `most`; whether nothing else has that total.
    fn price(&mut self, level: usize, most: i128) -> Result<bool, PlanError> {
        let all = self.posed(level, |problem| Ok(joint_prices(&problem)?))?.unwrap_or_default();
        let pieces = std::mem::take(&mut self.pieces);
        let mut is_whole = true;
        for (mut piece, prices) in pieces.into_iter().zip(all) {
            let Some((priced, cheap, spare)) = prices.and_then(|prices| self.cheap(&piece, level, &prices, most))
            else {
                continue;
            };
            // Where every part that is left has to be used, and no other has a price, none is given for nothing.
            let slots = self.numbering.positions;
            let kinds = [|items: Couple| items.first, |items: Couple| items.second];
            let are_used = kinds.into_iter().zip(&priced.parts).all(|(item, prices)| {
                let mut open = vec![false; prices.len()];
                for &(_, _, items) in &cheap {
                    open[item(items).index()] = true;
                }
                open.iter().filter(|&&open| open).count() == slots
                    && prices.iter().zip(&open).all(|(&price, &open)| price == 0 || open)
            });
            is_whole &= spare == 0 && are_used;
            piece.priced.push(Arc::new(priced));
            self.pieces.extend(self.kept(&piece, &cheap));
        }
        Ok(is_whole)
    }

    /// The parts of a piece that are in some choice of so small a total as far as prices tell, and how much the total may
    /// still be above what they say it is at least; `None` where no choice is left.
    fn cheap(
        &self,
        piece: &Piece,
        level: usize,
        prices: &JointPrices,
        most: i128,
    ) -> Option<(Priced, Vec<Valued>, i128)> {
        let narrow = |prices: &Vec<i128>| -> Option<Vec<i64>> {
            prices.iter().map(|&price| i64::try_from(price).ok().filter(|&price| price < 1 << 50)).collect()
        };
        let parts = [narrow(&prices.items[0])?, narrow(&prices.items[1])?];
        let all = parts.iter().flatten().sum();
        let priced = Priced { level, parts, all };
        let mut triples = self.triples(piece, level);
        let mut least = vec![i64::MAX; self.numbering.positions];
        for &(value, slot, items) in &triples {
            let least = &mut least[slot.index()];
            *least = (*least).min(priced.with(value, items));
        }
        let spare = most + i128::from(all) - least.iter().map(|&least| i128::from(least)).sum::<i128>();
        triples.retain(|&(value, slot, items)| {
            i128::from(priced.with(value, items)) - i128::from(least[slot.index()]) <= spare
        });
        (spare >= 0).then_some((priced, triples, spare))
    }

    fn hold_sum(&mut self, level: usize, measure: Measure, most: i128) {
        if !self.without_sums {
            self.sums.push((level, measure, most));
            self.narrow(level, |_| true);
        }
    }

    /// Makes a piece of every window of this width, if they are not too many.
    fn window(&mut self, level: usize, width: i64) {
        let words = words_of(self.numbering.count());
        let mut pieces = Vec::new();
        for piece in &self.pieces {
            pieces.extend(self.windows(piece, level, width));
            if pieces.len() > MOST || pieces.len() * words > WORDS {
                self.apart.push((level, width));
                self.narrow(level, |_| true);
                return;
            }
        }
        self.pieces = pieces;
    }

    /// Leaves parts only where this is so of what they are worth by a criterion.
    fn narrow(&mut self, level: usize, keeps: impl Fn(i64) -> bool) {
        let pieces = std::mem::take(&mut self.pieces);
        let kept = pieces.iter().filter_map(|piece| {
            let mut triples = self.triples(piece, level);
            triples.retain(|&(value, ..)| keeps(value));
            self.kept(piece, &triples)
        });
        self.pieces = kept.collect();
    }

    /// The piece with these triples alone; `None` where some kind cannot serve every position any more.
    pub(super) fn kept(&self, piece: &Piece, triples: &[Valued]) -> Option<Piece> {
        let numbers = || triples.iter().map(|&(_, slot, items)| self.numbering.number(slot, items));
        let whole = || Piece { open: Arc::new(Couples::listed(self.numbering.count(), numbers())), ..piece.clone() };
        serve(self.numbering, triples.iter().map(|&(_, slot, items)| (slot, items))).then(whole)
    }

    /// Every window of a piece in which both kinds can serve every position, and that holds more than others.
    fn windows(&self, piece: &Piece, level: usize, width: i64) -> Vec<Piece> {
        let mut triples = self.triples(piece, level);
        triples.sort_unstable();
        let mut inside = vec![0_usize; self.numbering.positions];
        let mut empty = self.numbering.positions;
        let (mut end, mut windows) = (0, Vec::new());
        let mut is_new = false;
        for start in 0..triples.len() {
            let bottom = triples[start].0;
            while end < triples.len() && triples[end].0 <= bottom.saturating_add(width) {
                let count = &mut inside[triples[end].1.index()];
                empty -= usize::from(*count == 0);
                *count += 1;
                (end, is_new) = (end + 1, true);
            }
            if empty == 0
                && is_new
                && let Some(window) = self.kept(piece, &triples[start..end])
            {
                windows.push(window);
                is_new = false;
            }
            let count = &mut inside[triples[start].1.index()];
            *count -= 1;
            empty += usize::from(*count == 0);
        }
        windows
    }

    /// What may be chosen in a piece, each with what it is worth by a criterion.
    pub(super) fn triples(&self, piece: &Piece, level: usize) -> Vec<Valued> {
        let valued = |(slot, items)| Some((self.value(level, piece, slot, items)?, slot, items));
        self.couples_of(piece).filter_map(valued).collect()
    }

    /// What may be chosen in a piece.
    pub(super) fn couples_of(&self, piece: &Piece) -> impl Iterator<Item = (Slot, Couple)> {
        let [first, second] = &self.tables;
        let named = piece.open.numbers().filter_map(|number| self.numbering.named(number));
        named
            .filter(|&(slot, items)| first.get(slot, items.first).is_some() && second.get(slot, items.second).is_some())
    }

    /// What two parts in a position are worth by a criterion under a piece's setting, allowed there or not.
    pub(super) fn value(&self, level: usize, piece: &Piece, slot: Slot, items: Couple) -> Option<i64> {
        self.levels[level].value(self.joint, piece.setting, slot, items)
    }

    /// Whether two parts in a position belong to a piece.
    pub(super) fn is_within(&self, piece: &Piece, slot: Slot, items: Couple) -> bool {
        piece.open.has(self.numbering.number(slot, items))
    }

    /// The first piece that a choice belongs to, its parts worth the same there by a criterion and all held sums.
    pub(super) fn piece_of(&self, level: usize, setting: usize, parts: [&[usize]; 2]) -> Option<Outer> {
        let couples = couples(parts)?;
        let asked: Vec<usize> = self.sums.iter().map(|&(held, ..)| held).chain([level]).collect();
        let belongs = |piece: &&Piece| {
            couples.iter().all(|&(slot, items)| {
                let worth = |at: usize, setting| self.levels[at].value(self.joint, setting, slot, items);
                self.is_within(piece, slot, items)
                    && asked.iter().all(|&at| worth(at, piece.setting) == worth(at, setting))
            })
        };
        let own = self.pieces.iter().enumerate().filter(|(_, piece)| piece.setting == setting);
        let any = own.chain(self.pieces.iter().enumerate());
        any.into_iter().find(|(_, piece)| belongs(piece)).and_then(|(at, _)| u32::try_from(at).ok()).map(Outer::new)
    }

    /// Leaves one of the pieces that come to the same by a criterion and all held sums.
    pub(super) fn without_like_pieces(&mut self, level: usize) {
        if !self.joint.is_settled() || !self.apart.is_empty() {
            return;
        }
        let all: Vec<usize> = self.sums.iter().map(|&(held, ..)| held).chain([level]).collect();
        let (left, size) = (&*self, self.numbering.count());
        // Field after field of one piece, as if they were one.
        let value = |outer: usize, at: usize| {
            let piece = &left.pieces[outer];
            let (slot, items) = left.numbering.named(at % size)?;
            if piece.open.has(at % size) { left.value(all[at / size], piece, slot, items) } else { None }
        };
        let cells = |outer: usize| {
            let of_level = move |at: usize| left.pieces[outer].open.numbers().map(move |number| at * size + number);
            (0..all.len()).flat_map(of_level).map(move |at| (at, value(outer, at)))
        };
        let likeness = Likeness::of(self.pieces.len(), cells, value);
        let kept = likeness.fewest(&(0..self.pieces.len()).collect::<Vec<_>>());
        self.pieces = kept.into_iter().map(|at| self.pieces[at].clone()).collect();
    }
}

/// Parts in position order as the solver names them.
pub(super) fn couples([firsts, seconds]: [&[usize]; 2]) -> Option<Vec<(Slot, Couple)>> {
    let number = |part: usize| u32::try_from(part).ok().map(Item::new);
    let couple = |(slot, (&first, &second)): (u32, (&usize, &usize))| {
        Some((Slot::new(slot), Couple { first: number(first)?, second: number(second)? }))
    };
    (0..).zip(firsts.iter().zip(seconds)).map(couple).collect()
}
