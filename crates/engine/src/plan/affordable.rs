//! What may be spent, or bought, as sets of parts: whoever stays within it uses parts of a set that can be paid for as a whole.
//!
//! A choice within a limit on its price uses no more than one of the greatest such sets, and every choice that uses no more
//! than one of them is within the limit. So under each set as an outer choice of its own nothing is left to add up.

use super::levels::Level;
use super::pieces::{Left, Piece};
use crate::job::Stock;

/// More outer choices than this are not made: then the sum is held.
const MOST: usize = 256;
/// Nor are more partial sets looked at for one of them.
const LOOKS: usize = 1 << 14;

/// Parts that are bought at one price and are like each other, of one kind.
#[derive(Debug)]
struct Shelf {
    kind: usize,
    price: i64,
    parts: Vec<usize>,
}

/// Sets that can be paid for: of every shelf so many parts.
struct Sets<'s> {
    shelves: &'s [Shelf],
    so_far: Vec<usize>,
    found: Vec<Vec<usize>>,
    looks: usize,
}

impl Left<'_, '_> {
    /// Makes an outer choice of every greatest set of parts whose values of a criterion come to no more than `most`; `false`
    /// where values are not of parts alone, or where the sets would be too many. Then nothing has changed.
    pub(super) fn split_by_price(&mut self, level: usize, most: i128) -> bool {
        let mut pieces = Vec::new();
        for piece in &self.pieces {
            let Some(split) = self.affordable(piece, level, most) else { return false };
            pieces.extend(split);
            if pieces.len() > self.pieces.len().max(MOST) {
                return false;
            }
        }
        self.pieces = pieces;
        true
    }

    /// What is left of a piece, set by set; `None` for too many.
    fn affordable(&self, piece: &Piece, level: usize, most: i128) -> Option<Vec<Piece>> {
        let (of_setting, shelves) = self.shelves(piece, &self.levels[level])?;
        let Ok(left) = i64::try_from(most - i128::from(of_setting)) else { return None };
        if left < 0 {
            return Some(Vec::new());
        }
        let all: i64 = shelves.iter().map(|shelf| shelf.price * shelf.most(self.positions())).sum();
        if all <= left {
            return Some(vec![piece.clone()]);
        }
        let mut sets = Sets { shelves: &shelves, so_far: Vec::new(), found: Vec::new(), looks: 0 };
        sets.extend(left, i64::MAX)?;
        let triples = self.triples(piece, level);
        let only = |set: Vec<usize>| {
            let named = |kind: usize, part: usize| {
                let mut own = shelves.iter().zip(&set).filter(|(shelf, _)| shelf.kind == kind);
                own.all(|(shelf, &count)| !shelf.parts[count..].contains(&part))
            };
            let mut triples = triples.clone();
            triples.retain(|(_, _, items)| named(0, items.first.index()) && named(1, items.second.index()));
            self.kept(piece, &triples)
        };
        Some(sets.found.into_iter().filter_map(only).collect())
    }

    /// What the setting of a piece adds, and all parts that may still be chosen and add anything, the dearest first; `None`
    /// where a part adds more in one position than in another, or less than nothing.
    fn shelves(&self, piece: &Piece, level: &Level) -> Option<(i64, Vec<Shelf>)> {
        let (of_setting, prices) = level.of_parts(piece.setting)?;
        let mut open = prices.map(|prices| vec![false; prices.len()]);
        for (_, items) in self.couples_of(piece) {
            *open[0].get_mut(items.first.index())? = true;
            *open[1].get_mut(items.second.index())? = true;
        }
        let mut shelves: Vec<Shelf> = Vec::new();
        for kind in 0..2 {
            let stock = self.stock(kind);
            let priced = (0..open[kind].len()).filter(|&part| open[kind][part] && prices[kind][part] != 0);
            for part in priced {
                let price = prices[kind][part];
                if price < 0 {
                    return None;
                }
                match shelves.iter_mut().find(|shelf| shelf.holds_like(stock, kind, part, price)) {
                    Some(shelf) => shelf.parts.push(part),
                    None => shelves.push(Shelf { kind, price, parts: vec![part] }),
                }
            }
        }
        shelves.sort_by_key(|shelf| std::cmp::Reverse(shelf.price));
        Some((of_setting, shelves))
    }

    fn positions(&self) -> usize {
        self.tables[0].shape().slots
    }

    fn stock(&self, kind: usize) -> &Stock {
        let question = self.joint.question;
        let role = if kind == 0 { question.first_role() } else { question.second_role().unwrap_or(0) };
        question.stocks[role]
    }
}

impl Shelf {
    fn holds_like(&self, stock: &Stock, kind: usize, part: usize, price: i64) -> bool {
        self.kind == kind && self.price == price && stock.is_alike(self.parts[0], part)
    }

    /// So many parts of it can be used at most.
    fn most(&self, positions: usize) -> i64 {
        i64::try_from(self.parts.len().min(positions)).unwrap_or(i64::MAX)
    }
}

impl Sets<'_> {
    /// Goes on to every greatest set that costs `left` at most, `missing` being the cheapest part that was left out so far;
    /// `None` for too many.
    fn extend(&mut self, left: i64, missing: i64) -> Option<()> {
        self.looks += 1;
        if self.looks > LOOKS {
            return None;
        }
        let shelves = self.shelves;
        let Some(shelf) = shelves.get(self.so_far.len()) else {
            // One that has room for what it leaves out is part of another.
            if missing > left {
                self.found.push(self.so_far.clone());
            }
            return (self.found.len() <= MOST).then_some(());
        };
        let most = usize::try_from(left / shelf.price).unwrap_or(usize::MAX).min(shelf.parts.len());
        for count in (0..=most).rev() {
            let is_whole = count == shelf.parts.len();
            let price = shelf.price * i64::try_from(count).unwrap_or(i64::MAX);
            self.so_far.push(count);
            self.extend(left - price, if is_whole { missing } else { missing.min(shelf.price) })?;
            self.so_far.pop();
        }
        Some(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn greatest(prices: &[(i64, usize)], left: i64) -> Vec<Vec<usize>> {
        let shelf = |&(price, count): &(i64, usize)| Shelf { kind: 0, price, parts: (0..count).collect() };
        let shelves: Vec<Shelf> = prices.iter().map(shelf).collect();
        let mut sets = Sets { shelves: &shelves, so_far: Vec::new(), found: Vec::new(), looks: 0 };
        sets.extend(left, i64::MAX).expect("few");
        sets.found
    }

    #[test]
    fn the_greatest_sets_are_those_that_have_no_room_for_another_part() {
        assert_eq!(greatest(&[(5, 1), (4, 1), (3, 1)], 7), [[1, 0, 0], [0, 1, 1]]);
        assert_eq!(greatest(&[(5, 1), (4, 1), (3, 1)], 12), [[1, 1, 1]]);
        assert_eq!(greatest(&[(5, 1), (4, 1)], 3), [[0, 0]]);
        assert_eq!(greatest(&[(4, 3), (3, 3)], 8), [[2, 0], [1, 1], [0, 2]]);
        assert_eq!(greatest(&[], 0), [Vec::<usize>::new()]);
    }

    #[test]
    fn too_many_sets_are_none() {
        let shelves: Vec<Shelf> = (0..40).map(|part| Shelf { kind: 0, price: 100 + part, parts: vec![0] }).collect();
        let mut sets = Sets { shelves: &shelves, so_far: Vec::new(), found: Vec::new(), looks: 0 };
        assert_eq!(sets.extend(2_000, i64::MAX), None);
    }
}
