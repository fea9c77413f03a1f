//! Outer choices of a later criterion: what the criteria before it leave, piece by piece.
//!
//! Once the least spread is known, the choices within it all lie in a window of that width, and every window is an outer
//! choice of its own, under which nothing is left to compare. A worst distance leaves out what lies further away. Totals and
//! squares stay as limits on sums; squares about the mean q of n positions also leave no spread above √(2q/n).

use std::collections::BTreeSet;
use std::sync::Arc;

use pairwright_assign::{Couple, Item, JointAim, JointPrices, Outer, Slot, Table, joint_prices};
use pairwright_proof::Measure;

use super::choose::PlanError;
use super::joint::Joint;
use super::levels::Level;
use super::likeness::Likeness;
use super::outers::Dressed;

/// More pieces than this are not made: windows are then compared two positions at a time.
const MOST: usize = 1 << 12;

/// An outer choice of [`Joint`], with where the window of every spread settled before begins.
#[derive(Clone, Debug)]
pub(super) struct Piece {
    pub(super) dressed: Dressed,
    pub(super) bottoms: Vec<i64>,
    /// For every total settled before, what it leaves here.
    pub(super) priced: Vec<Arc<Priced>>,
}

/// What a settled total leaves of a piece, by prices of the parts.
///
/// With prices of at least 0 no choice has a smaller total than the least of value and prices in every position, less all
/// prices: a triple that is dearer than the least of its position by more than the total may still give is part of none.
/// So it is for any prices.
#[derive(Debug)]
pub(super) struct Priced {
    level: usize,
    parts: [Vec<i64>; 2],
    /// All prices together.
    all: i64,
    /// The least of value and prices in every position.
    least: Vec<i64>,
    /// How much more than that all positions together may come to.
    spare: i128,
}

impl Priced {
    /// A value with the prices of the parts.
    pub(super) fn with(&self, value: i64, items: Couple) -> i64 {
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

/// What a settled criterion asks of those after it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Held {
    pub(super) level: usize,
    pub(super) asks: Asks,
}

#[derive(Clone, Copy, Debug)]
pub(super) enum Asks {
    /// No value further away than this.
    Within { target: i64, most: i64 },
    /// All values in a window so wide, the one with this number among a piece's.
    Window { width: i64, number: usize },
    /// Every two values no further apart than this.
    Apart { width: i64 },
    /// A sum of so much at most.
    Sum { measure: Measure, most: i128 },
}

/// What a criterion is chosen among.
#[derive(Debug)]
pub(super) struct Left<'j, 'q> {
    pub(super) joint: &'j Joint<'q>,
    pub(super) levels: &'j [Level],
    pub(super) tables: [Table; 2],
    pub(super) held: Vec<Held>,
    pub(super) pieces: Vec<Piece>,
    /// Sums are not held: proofs are about all choices that the rest leaves, which are more.
    without_sums: bool,
}

/// A triple of a piece with a value.
type Valued = (i64, usize, Couple);

impl<'j, 'q> Left<'j, 'q> {
    pub(super) fn new(
        joint: &'j Joint<'q>,
        levels: &'j [Level],
        tables: [Table; 2],
        outers: impl Iterator<Item = Dressed>,
    ) -> Self {
        let pieces = outers.map(|dressed| Piece { dressed, bottoms: Vec::new(), priced: Vec::new() }).collect();
        Self { joint, levels, tables, held: Vec::new(), pieces, without_sums: false }
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
                self.held.push(Held { level, asks: Asks::Within { target, most: bounded } });
                self.split_again();
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
                if !self.price(level, bound)? {
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
            let Some(priced) = prices.and_then(|prices| self.priced(&piece, level, &prices, most)) else { continue };
            let priced = Arc::new(priced);
            piece.priced.push(Arc::clone(&priced));
            let triples = self.triples(&piece, |_, _| Some(0));
            // Where every part that is left has to be used, and no other has a price, none is given for nothing.
            let slots = self.tables[0].shape().slots;
            let kinds = [|items: Couple| items.first, |items: Couple| items.second];
            let are_used = kinds.into_iter().zip(&priced.parts).all(|(item, prices)| {
                let open: BTreeSet<usize> = triples.iter().map(|&(_, _, items)| item(items).index()).collect();
                open.len() == slots
                    && prices.iter().enumerate().all(|(part, &price)| price == 0 || open.contains(&part))
            });
            is_whole &= priced.spare == 0 && are_used;
            if serve(&triples, slots) {
                self.pieces.push(piece);
            }
        }
        Ok(is_whole)
    }

    fn priced(&self, piece: &Piece, level: usize, prices: &JointPrices, most: i128) -> Option<Priced> {
        let joint = self.joint;
        let narrow = |prices: &Vec<i128>| -> Option<Vec<i64>> {
            prices.iter().map(|&price| i64::try_from(price).ok().filter(|&price| price < 1 << 50)).collect()
        };
        let parts = [narrow(&prices.items[0])?, narrow(&prices.items[1])?];
        let all = parts.iter().flatten().sum();
        let mut priced = Priced { level, parts, all, least: vec![i64::MAX; self.tables[0].shape().slots], spare: 0 };
        let value = |slot, items| self.levels[level].value(joint, piece.dressed.setting, slot, items);
        for (value, slot, items) in self.triples(piece, value) {
            priced.least[slot] = priced.least[slot].min(priced.with(value, items));
        }
        let least: i128 = priced.least.iter().map(|&least| i128::from(least)).sum();
        priced.spare = most + i128::from(all) - least;
        (priced.spare >= 0).then_some(priced)
    }

    fn hold_sum(&mut self, level: usize, measure: Measure, most: i128) {
        if !self.without_sums {
            self.held.push(Held { level, asks: Asks::Sum { measure, most } });
        }
    }

    /// Makes a piece of every window of this width, if they are not too many.
    fn window(&mut self, level: usize, width: i64) {
        let number = self.pieces.first().map_or(0, |piece| piece.bottoms.len());
        let mut pieces = Vec::new();
        for piece in &self.pieces {
            for bottom in self.bottoms(piece, level, width) {
                let bottoms = piece.bottoms.iter().copied().chain([bottom]).collect();
                pieces.push(Piece { bottoms, ..piece.clone() });
            }
            if pieces.len() > MOST {
                self.held.push(Held { level, asks: Asks::Apart { width } });
                return;
            }
        }
        self.pieces = pieces;
        self.held.push(Held { level, asks: Asks::Window { width, number } });
    }

    /// Drops pieces in which some kind cannot serve every position any more.
    fn split_again(&mut self) {
        let slots = self.tables[0].shape().slots;
        let pieces = std::mem::take(&mut self.pieces);
        let serves = |piece: &Piece| {
            let triples = self.triples(piece, |_, _| Some(0));
            serve(&triples, slots)
        };
        let kept = pieces.into_iter().filter(serves).collect();
        self.pieces = kept;
    }

    /// Where windows of a piece begin in which both kinds can serve every position, and that hold more than others.
    fn bottoms(&self, piece: &Piece, level: usize, width: i64) -> Vec<i64> {
        let (joint, of) = (self.joint, &self.levels[level]);
        let mut triples = self.triples(piece, |slot, items| of.value(joint, piece.dressed.setting, slot, items));
        triples.sort_unstable_by_key(|&(value, slot, items)| (value, slot, items));
        let slots = self.tables[0].shape().slots;
        let mut inside = vec![0_usize; slots];
        let mut empty = slots;
        let (mut end, mut bottoms) = (0, Vec::new());
        let mut is_new = false;
        for start in 0..triples.len() {
            let bottom = triples[start].0;
            while end < triples.len() && triples[end].0 <= bottom.saturating_add(width) {
                let count = &mut inside[triples[end].1];
                empty -= usize::from(*count == 0);
                *count += 1;
                (end, is_new) = (end + 1, true);
            }
            if empty == 0 && is_new && serve(&triples[start..end], slots) {
                bottoms.push(bottom);
                is_new = false;
            }
            let count = &mut inside[triples[start].1];
            *count -= 1;
            empty += usize::from(*count == 0);
        }
        bottoms
    }

    /// The triples that may be chosen in a piece, each with a value.
    fn triples(&self, piece: &Piece, value: impl Fn(Slot, Couple) -> Option<i64>) -> Vec<Valued> {
        let [first, second] = &self.tables;
        let mut triples = Vec::new();
        for slot in first.slots() {
            for one in first.items().filter(|&item| first.get(slot, item).is_some()) {
                for other in second.items().filter(|&item| second.get(slot, item).is_some()) {
                    let items = Couple { first: one, second: other };
                    if self.is_within(piece, slot, items) {
                        triples.extend(value(slot, items).map(|value| (value, slot.index(), items)));
                    }
                }
            }
        }
        triples
    }

    /// Whether two parts in a position belong to a piece.
    pub(super) fn is_within(&self, piece: &Piece, slot: Slot, items: Couple) -> bool {
        let joint = self.joint;
        let setting = piece.dressed.setting;
        let Some(place) = joint.meetings.place(setting, slot, items) else { return false };
        if joint.meetings.value(place).is_none() || !joint.is_within(piece.dressed, place) {
            return false;
        }
        let is_cheap = |priced: &Arc<Priced>| {
            let value = self.levels[priced.level].value(joint, setting, slot, items);
            let least = priced.least.get(slot.index()).copied();
            value
                .zip(least)
                .is_some_and(|(value, least)| i128::from(priced.with(value, items)) - i128::from(least) <= priced.spare)
        };
        if !piece.priced.iter().all(is_cheap) {
            return false;
        }
        self.held.iter().all(|held| {
            let value = || self.levels[held.level].value(joint, setting, slot, items);
            match held.asks {
                Asks::Within { target, most } => value().is_some_and(|value| (value - target).abs() <= most),
                Asks::Window { width, number } => {
                    let bottom = piece.bottoms.get(number).copied();
                    bottom.zip(value()).is_none_or(|(from, at)| (from..=from.saturating_add(width)).contains(&at))
                }
                Asks::Apart { .. } | Asks::Sum { .. } => value().is_some(),
            }
        })
    }

    /// The first piece that a choice belongs to, its parts worth the same there by a criterion and all held sums.
    pub(super) fn piece_of(&self, level: usize, setting: usize, parts: [&[usize]; 2]) -> Option<Outer> {
        let couples = couples(parts)?;
        let asked: Vec<usize> = self.sums().map(|(held, _, _)| held).chain([level]).collect();
        let belongs = |piece: &&Piece| {
            couples.iter().all(|&(slot, items)| {
                let worth = |at: usize, setting| self.levels[at].value(self.joint, setting, slot, items);
                self.is_within(piece, slot, items)
                    && asked.iter().all(|&at| worth(at, piece.dressed.setting) == worth(at, setting))
            })
        };
        let own = self.pieces.iter().enumerate().filter(|(_, piece)| piece.dressed.setting == setting);
        let any = own.chain(self.pieces.iter().enumerate());
        any.into_iter().find(|(_, piece)| belongs(piece)).and_then(|(at, _)| u32::try_from(at).ok()).map(Outer::new)
    }

    /// The sums that are held: criterion, measure, and what it may come to.
    pub(super) fn sums(&self) -> impl Iterator<Item = (usize, Measure, i128)> + '_ {
        self.held.iter().filter_map(|held| match held.asks {
            Asks::Sum { measure, most } => Some((held.level, measure, most)),
            _ => None,
        })
    }

    /// Spreads that are compared two positions at a time.
    pub(super) fn apart(&self) -> impl Iterator<Item = (usize, i64)> + '_ {
        self.held.iter().filter_map(|held| match held.asks {
            Asks::Apart { width } => Some((held.level, width)),
            _ => None,
        })
    }

    /// Leaves one of the pieces that come to the same by a criterion and all held sums.
    pub(super) fn without_like_pieces(&mut self, level: usize) {
        if !self.joint.is_settled() || self.apart().next().is_some() {
            return;
        }
        let mut all: Vec<usize> = self.sums().map(|(held, _, _)| held).collect();
        all.push(level);
        let [firsts, seconds] = self.joint.shape;
        let slots = self.tables[0].shape().slots;
        let size = slots * firsts * seconds;
        let value = |outer: usize, at: usize| {
            let (level, at) = (all[at / size], at % size);
            let number = |part: usize| u32::try_from(part).ok().map(Item::new);
            let items = Couple { first: number(at / seconds % firsts)?, second: number(at % seconds)? };
            let slot = Slot::new(u32::try_from(at / (firsts * seconds)).ok()?);
            let piece = &self.pieces[outer];
            if !self.is_within(piece, slot, items) {
                return None;
            }
            self.levels[level].value(self.joint, piece.dressed.setting, slot, items)
        };
        let likeness = Likeness::of(self.pieces.len(), size * all.len(), value);
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

/// Whether either kind can serve every position with these triples.
fn serve(triples: &[Valued], slots: usize) -> bool {
    [|items: Couple| items.first, |items: Couple| items.second].into_iter().all(|item| {
        let mut open = vec![BTreeSet::new(); slots];
        for &(_, slot, items) in triples {
            open[slot].insert(item(items).index());
        }
        all_served(&open)
    })
}

/// Whether the parts of a table can serve every position.
pub(super) fn serves(table: &Table) -> bool {
    let open = |slot: Slot| table.items().filter(|&item| table.get(slot, item).is_some()).map(Item::index).collect();
    all_served(&table.slots().map(open).collect::<Vec<_>>())
}

fn all_served(open: &[BTreeSet<usize>]) -> bool {
    let most = open.iter().flatten().max().map_or(0, |&most| most + 1);
    let mut holder = vec![None; most];
    (0..open.len()).all(|slot| augment(slot, open, &mut holder, &mut BTreeSet::new()))
}

fn augment(slot: usize, open: &[BTreeSet<usize>], holder: &mut [Option<usize>], seen: &mut BTreeSet<usize>) -> bool {
    for &item in &open[slot] {
        if seen.insert(item) && holder[item].is_none_or(|other| augment(other, open, holder, seen)) {
            holder[item] = Some(slot);
            return true;
        }
    }
    false
}
