//! Where a part stands now, by the label of the place.

use super::view::View;
use pairwright_engine::job::Scope;

/// Where a part stands now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Origin<'a> {
    /// In a position, or on a bank, of this label.
    Place(&'a str),
    /// On the shelf.
    Shelf,
    /// The stock says of no part of the kind where it stands.
    Unsaid,
}

impl<'a> View<'a> {
    /// Where a part of a role stands now: a position, of heads and gaskets a bank.
    pub(crate) fn origin(self, role: usize, part: usize) -> Origin<'a> {
        match self.stands_at(role, part) {
            Some(at) if self.matching.scope(self.kind(role)) == Scope::Position => Origin::Place(self.position(at)),
            Some(at) => Origin::Place(self.bank_name(at)),
            None if self.knows_where_parts_stand(role) => Origin::Shelf,
            None => Origin::Unsaid,
        }
    }
}
