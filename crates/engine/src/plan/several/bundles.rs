//! The pile, and what every bundle of it is worth in every position.

use std::cell::OnceCell;

use pairwright_assign::several::{SeveralError, SeveralProblem};
use pairwright_proof::{Bundles, Item, Pile, Roles, SeveralProof, Slot};

use super::super::admission::Relaxed;
use super::super::choose::{Answer, PlanError, slot};
use super::super::frame::Frame;
use super::super::question::Question;
use super::super::result;
use super::super::search::Asked;
use super::super::setting::{Setting, pinned_out};
use super::alike::alike;
use super::alike_pieces::Piece;
use super::beside::Kept;
use super::totals::Additive;
use crate::fit::Seat;

/// No value: the bundle must not stand there.
const NONE: i64 = i64::MIN;
/// So many values a position are kept; beyond that they are worked out whenever they are wanted.
const KEPT: usize = 1 << 21;

/// A match that takes several parts of one kind a position.
#[derive(Debug)]
pub(crate) struct Several<'q> {
    pub(in crate::plan) question: &'q Question<'q>,
    pub(super) relaxed: Relaxed,
    /// Parts that may stand anywhere: the solver's items.
    pub(super) parts: Vec<usize>,
    pub(super) pile: Pile,
    /// Which piece of its type every item is.
    pub(super) pieces: Vec<Option<Piece>>,
    /// Limits over all positions.
    pub(super) held: Vec<Kept>,
    /// Positions side by side.
    pub(super) neighbours: Vec<(Slot, Slot)>,
    /// Limits over all positions are held with the widest guard band, and with narrower ones there may be a better plan.
    pub(in crate::plan) by_widest: bool,
    /// For every position the aim's value of every bundle, its items the digits of its place; empty where they are too
    /// many to be kept.
    values: Vec<Vec<i64>>,
    /// The proof of the best value, once it is found.
    pub(super) proof: OnceCell<(i128, SeveralProof)>,
    /// Bundles that are the best by the aim, where it may give something and once they are found.
    pub(super) best_by_aim: OnceCell<Bundles>,
    /// The aim taken apart, once it is asked for.
    pub(super) additive: OnceCell<Option<Additive>>,
    /// The plan, once it is found, with what orders choices.
    pub(super) plan: OnceCell<(Vec<i128>, super::super::choose::Chosen)>,
}

impl<'q> Several<'q> {
    /// Works out what every bundle is worth.
    ///
    /// A limit on a spread or on neighbours has the guard band of the two positions that are compared. Where bands differ the
    /// plan is first looked for with the narrowest of them, which excludes nothing that could hold the limit; if it holds it by
    /// its own band it is the best of all. Else the widest band makes every plan hold it.
    ///
    /// # Errors
    /// [`PlanError::Several`] for more parts than the solver takes.
    pub(in crate::plan) fn new(question: &'q Question<'q>, relaxed: Relaxed) -> Result<Self, PlanError> {
        let (mut widest, uneven) = Self::laid_out(question, relaxed)?;
        if !uneven {
            return Ok(widest);
        }
        let (narrowest, _) = Self::laid_out(question, Relaxed { by_narrowest: true, ..relaxed })?;
        match narrowest.best(Asked::default())? {
            Answer::Chosen(chosen) => {
                let frame = Frame::new(question, Setting::default(), chosen.seconds.clone());
                if result::holds(&frame, &chosen.parts) {
                    return Ok(narrowest);
                }
            }
            Answer::Short(_) => return Ok(narrowest),
            Answer::Undecided => {}
        }
        widest.by_widest = true;
        Ok(widest)
    }

    /// The same with the guard bands that `relaxed` says, and whether they differ.
    pub(super) fn laid_out(question: &'q Question<'q>, relaxed: Relaxed) -> Result<(Self, bool), PlanError> {
        let first = question.first_role();
        let positions = question.positions.len();
        let usable = |part: &usize| (0..positions).any(|position| question.may_go(first, position, *part));
        let parts: Vec<usize> = (0..question.stocks[first].parts.len()).filter(usable).collect();
        let roles = if alike(question) { Roles::Alike } else { Roles::Told };
        let pile = Pile { slots: positions, items: parts.len(), each: 1 + question.beside().len(), roles };
        if pile.items > SeveralProblem::MOST_ITEMS {
            return Err(SeveralError::TooLarge { pile }.into());
        }
        let neighbours = question.neighbours().into_iter().map(|(one, other)| (slot(one), slot(other))).collect();
        let mut several = Self {
            question,
            relaxed,
            parts,
            pile,
            pieces: Vec::new(),
            held: Vec::new(),
            neighbours,
            by_widest: false,
            values: Vec::new(),
            proof: OnceCell::new(),
            best_by_aim: OnceCell::new(),
            additive: OnceCell::new(),
            plan: OnceCell::new(),
        };
        several.pieces = several.pieces();
        several.keep_values();
        let (held, uneven) = several.limits_over_all(relaxed);
        several.held = held;
        Ok((several, uneven))
    }

    fn keep_values(&mut self) {
        let Pile { slots, items, each, .. } = self.pile;
        let places = u32::try_from(each).ok().and_then(|each| items.checked_pow(each));
        let Some(places) = places.filter(|&places| places <= KEPT) else { return };
        let mut digits = Vec::with_capacity(each);
        for position in 0..slots {
            let mut values = vec![NONE; places];
            for (place, kept) in values.iter_mut().enumerate() {
                self.digits(place, &mut digits);
                if self.is_bundle(&digits) {
                    *kept = self.worked_out(position, &digits).unwrap_or(NONE);
                }
            }
            self.values.push(values);
        }
    }

    /// The items of a place, the first role's first.
    fn digits(&self, mut place: usize, digits: &mut Vec<Item>) {
        digits.clear();
        for _ in 0..self.pile.each {
            digits.push(Item::new(u32::try_from(place % self.pile.items).unwrap_or(u32::MAX)));
            place /= self.pile.items;
        }
        digits.reverse();
    }

    fn is_bundle(&self, items: &[Item]) -> bool {
        match self.pile.roles {
            Roles::Alike => items.windows(2).all(|two| two[0] < two[1]),
            Roles::Told => items.iter().enumerate().all(|(at, item)| !items[..at].contains(item)),
        }
    }

    /// The aim's value of a bundle in a position; `None` where it must not stand there.
    pub(super) fn value(&self, slot: Slot, items: &[Item]) -> Option<i64> {
        let Some(values) = self.values.get(slot.index()) else { return self.worked_out(slot.index(), items) };
        let place = items.iter().fold(0, |place, item| place * self.pile.items + item.index());
        values.get(place).copied().filter(|&value| value != NONE)
    }

    /// Gives every bundle, in lexicographic order.
    pub(super) fn each_bundle(&self, mut take: impl FnMut(&[Item])) {
        let (mut items, each) = (Vec::with_capacity(self.pile.each), self.pile.each);
        let mut next = 0;
        loop {
            if items.len() < each && next < self.pile.items {
                items.push(Item::new(u32::try_from(next).unwrap_or(u32::MAX)));
                if !self.is_bundle(&items) {
                    items.pop();
                } else if items.len() == each {
                    take(&items);
                    items.pop();
                } else {
                    next = 0;
                    continue;
                }
                next += 1;
            } else if let Some(last) = items.pop() {
                next = last.index() + 1;
            } else {
                break;
            }
        }
    }

    fn worked_out(&self, position: usize, items: &[Item]) -> Option<i64> {
        let may_stand = self.takes_its_pieces(position, items) && self.may_stand(position, items);
        let seat = self.seat(position, items).filter(|_| may_stand)?;
        self.question.admitted(seat, self.relaxed)
    }

    /// Whether the stock, `keep` and `bar` let every part of a bundle into its role.
    pub(super) fn may_stand(&self, position: usize, items: &[Item]) -> bool {
        let (question, first) = (self.question, self.question.first_role());
        let part = |item: &Item| self.parts.get(item.index()).copied();
        let may_stand = |(role, item): (usize, &Item)| {
            let may = |part| question.may_go(role, position, part) && !pinned_out(question, role, position, part);
            part(item).is_some_and(may)
        };
        let roles = || std::iter::once(first).chain(question.beside().iter().copied());
        roles().zip(items).all(may_stand)
    }

    /// The seat of a position with a bundle.
    pub(super) fn seat(&self, position: usize, items: &[Item]) -> Option<Seat> {
        let (&first, rest) = items.split_first()?;
        let part = |item: Item| self.parts.get(item.index()).copied();
        let seat = self.question.seat_beside(position, rest.iter().filter_map(|&item| part(item)));
        Some(seat.with(self.question.first_role(), part(first)?))
    }

    /// The solver's name for a part.
    pub(super) fn item(&self, part: usize) -> Option<Item> {
        self.parts.binary_search(&part).ok().and_then(|at| u32::try_from(at).ok()).map(Item::new)
    }

    /// The parts of the first role, and those of the roles beside it, position after position.
    pub(super) fn apart(&self, bundles: &Bundles) -> (Vec<usize>, Vec<usize>) {
        let part = |item: &Item| self.parts.get(item.index()).copied().unwrap_or(usize::MAX);
        let firsts = bundles.0.iter().filter_map(|items| items.first()).map(part).collect();
        let beside = bundles.0.iter().flat_map(|items| items.iter().skip(1)).map(part).collect();
        (firsts, beside)
    }

    /// The bundles of parts so told apart; `None` where a part is none of the pile's.
    pub(super) fn together(&self, firsts: &[usize], beside: &[usize]) -> Option<Bundles> {
        let rest = self.pile.each.saturating_sub(1);
        let bundle = |(position, &first): (usize, &usize)| {
            let others = beside.iter().copied().skip(position * rest).take(rest);
            let mut items: Vec<Item> =
                std::iter::once(first).chain(others).map(|part| self.item(part)).collect::<Option<_>>()?;
            if self.pile.roles == Roles::Alike {
                items.sort_unstable();
            }
            Some(items)
        };
        let bundles = firsts.iter().enumerate().map(bundle).collect::<Option<Vec<_>>>().map(Bundles)?;
        Some(self.with_its_pieces(bundles))
    }
}
