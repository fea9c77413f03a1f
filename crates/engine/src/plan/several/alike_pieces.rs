//! Pieces of one type: of choices that differ only in which piece stands where, one is gone through.
//!
//! Where there is a piece for every place, each place has its own. Else pieces are used one after the other in the order of
//! the positions: the first piece used is the first, and so on, so that a position never needs a piece beyond those that it and
//! the positions before it take.

use std::collections::BTreeMap;

use pairwright_proof::{Bundles, Item, Roles};

use super::super::setting::pinned_out;
use super::bundles::Several;

/// Which piece of which pieces an item is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Piece {
    /// The item of the first of them.
    first: usize,
    /// Its number among them.
    number: usize,
    /// There is one for every place.
    enough: bool,
}

impl Several<'_> {
    /// For every item which piece it is; `None` for a part by itself.
    pub(super) fn pieces(&self) -> Vec<Option<Piece>> {
        let question = self.question;
        let stock = question.stocks[question.first_role()];
        let roles: Vec<usize> =
            std::iter::once(question.first_role()).chain(question.beside().iter().copied()).collect();
        let mut alike: BTreeMap<(usize, Option<usize>, Vec<bool>), Vec<usize>> = BTreeMap::new();
        for (item, &part) in self.parts.iter().enumerate().filter(|(_, part)| stock.parts[**part].is_type()) {
            let may = roles.iter().flat_map(|&role| (0..self.pile.slots).map(move |position| (role, position)));
            let may = may.map(|(role, position)| {
                question.may_go(role, position, part) && !pinned_out(question, role, position, part)
            });
            let key = (stock.first_alike(part), question.stands(&stock.parts[part]), may.collect());
            alike.entry(key).or_default().push(item);
        }
        let mut pieces = vec![None; self.parts.len()];
        for items in alike.into_values() {
            let enough = items.len() >= self.pile.slots * self.pile.each;
            for (number, &item) in items.iter().enumerate() {
                pieces[item] = Some(Piece { first: items[0], number, enough });
            }
        }
        pieces
    }

    /// Whether a bundle takes the pieces that are gone through at this position.
    pub(super) fn takes_its_pieces(&self, position: usize, items: &[Item]) -> bool {
        let own = |at: usize| self.pieces[items[at].index()];
        (0..items.len()).all(|at| {
            let Some(piece) = own(at) else { return true };
            let mut before = (0..at).filter_map(own).filter(|other| other.first == piece.first);
            let last = before.next_back();
            let rank = before.count() + usize::from(last.is_some());
            let own_place = position * self.pile.each + rank;
            let follows = last.is_none_or(|last| last.number + 1 == piece.number);
            follows && if piece.enough { piece.number == own_place } else { piece.number <= own_place }
        })
    }

    /// The same choice with the pieces that are gone through.
    pub(super) fn with_its_pieces(&self, mut bundles: Bundles) -> Bundles {
        if self.pieces.iter().all(Option::is_none) {
            return bundles;
        }
        let mut by_piece: BTreeMap<(usize, usize), usize> = BTreeMap::new();
        for (item, piece) in self.pieces.iter().enumerate() {
            by_piece.extend(piece.map(|piece| ((piece.first, piece.number), item)));
        }
        let mut used: BTreeMap<usize, usize> = BTreeMap::new();
        for (position, items) in bundles.0.iter_mut().enumerate() {
            let mut here: BTreeMap<usize, usize> = BTreeMap::new();
            for item in items.iter_mut() {
                let Some(piece) = self.pieces.get(item.index()).copied().flatten() else { continue };
                let (here, used) = (here.entry(piece.first).or_default(), used.entry(piece.first).or_default());
                let number = if piece.enough { position * self.pile.each + *here } else { *used };
                (*here, *used) = (*here + 1, *used + 1);
                if let Some(&other) = by_piece.get(&(piece.first, number)) {
                    *item = Item::new(u32::try_from(other).unwrap_or(u32::MAX));
                }
            }
            if self.pile.roles == Roles::Alike {
                items.sort_unstable();
            }
        }
        bundles
    }

    /// The same choice with pieces left where they stand, as far as any of their type stays there anyway.
    pub(super) fn with_standing_pieces(&self, mut bundles: Bundles) -> Bundles {
        let stock = self.question.stocks[self.question.first_role()];
        for (at, &part) in self.parts.iter().enumerate().filter(|(_, part)| stock.parts[**part].is_type()) {
            let own = Item::new(u32::try_from(at).unwrap_or(u32::MAX));
            let Some(place) = self.question.stands(&stock.parts[part]).filter(|&place| place < bundles.0.len()) else {
                continue;
            };
            let alike = |item: &Item| stock.is_alike(self.parts[item.index()], part);
            if bundles.0[place].contains(&own) {
                continue;
            }
            let Some(other) = bundles.0[place].iter().copied().find(alike) else { continue };
            // What takes it elsewhere, if anything does, takes the other one.
            for item in bundles.0.iter_mut().flatten() {
                *item = match *item {
                    item if item == own => other,
                    item if item == other => own,
                    item => item,
                };
            }
        }
        if self.pile.roles == Roles::Alike {
            bundles.0.iter_mut().for_each(|items| items.sort_unstable());
        }
        self.with_its_pieces(bundles)
    }
}
