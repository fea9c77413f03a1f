//! Parts that earlier matches of a job have taken.

use crate::job::{Part, Stock};

/// Pieces taken by earlier matches: each part is used once over a job, a type as often as its count says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Taken {
    pieces: Vec<One>,
    stands: Vec<(String, Spot, usize)>,
}

/// A piece, and the position it goes to, counted among all of its kind; `None` for heads and gaskets.
#[derive(Clone, Debug, PartialEq, Eq)]
struct One {
    kind: String,
    part: usize,
    to: Option<usize>,
}

/// Where an earlier match has put a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Spot {
    /// In a position, by its index among all of its kind.
    Position(usize),
    /// On a bank.
    Bank(usize),
    /// Everywhere in the engine.
    Engine,
}

impl Taken {
    /// Takes a piece of the part at index `part` of the stock of `kind`.
    pub fn take(&mut self, kind: &str, part: usize) {
        self.pieces.push(One { kind: kind.to_owned(), part, to: None });
    }

    /// The same, for the position at index `to` of all of its kind.
    pub fn take_to(&mut self, kind: &str, part: usize, to: usize) {
        self.pieces.push(One { kind: kind.to_owned(), part, to: Some(to) });
    }

    /// Notes where a part has been put, for what later matches and the clearance ledger make of it.
    pub fn put(&mut self, kind: &str, spot: Spot, part: usize) {
        self.stands.push((kind.to_owned(), spot, part));
    }

    /// The part of `kind` that an earlier match has put in a position or on the bank that it lies on.
    ///
    /// ```
    /// use pairwright_engine::plan::{Spot, Taken};
    /// let mut taken = Taken::default();
    /// taken.put("piston", Spot::Position(3), 7);
    /// taken.put("gasket", Spot::Engine, 1);
    /// assert_eq!([taken.put_at("piston", 3, 0), taken.put_at("piston", 2, 0)], [Some(7), None]);
    /// assert_eq!(taken.put_at("gasket", 2, 0), Some(1));
    /// ```
    #[must_use]
    pub fn put_at(&self, kind: &str, position: usize, bank: usize) -> Option<usize> {
        let here = |spot: Spot| match spot {
            Spot::Position(at) => at == position,
            Spot::Bank(at) => at == bank,
            Spot::Engine => true,
        };
        self.stands.iter().find(|(known, spot, _)| known == kind && here(*spot)).map(|(_, _, part)| *part)
    }

    /// How many pieces of every part of a stock are taken.
    pub(super) fn pieces_of(&self, stock: &Stock) -> Vec<u32> {
        let mut pieces = vec![0; stock.parts.len()];
        for one in self.pieces.iter().filter(|one| one.kind == stock.kind) {
            if let Some(pieces) = pieces.get_mut(one.part) {
                *pieces += 1;
            }
        }
        pieces
    }

    /// Where every part of a stock stands once the earlier matches are carried out: what they place where they place it,
    /// and what stood there before on the shelf.
    pub(crate) fn standing_after(&self, stock: &Stock) -> Vec<Option<usize>> {
        let placed =
            || self.pieces.iter().filter(|one| one.kind == stock.kind).filter_map(|one| Some((one.part, one.to?)));
        let displaced = |at: usize| placed().any(|(_, to)| to == at);
        let mut stands: Vec<Option<usize>> =
            stock.parts.iter().map(|part: &Part| part.at.filter(|&at| !displaced(at))).collect();
        for (part, to) in placed() {
            if let Some(stands) = stands.get_mut(part) {
                *stands = Some(to);
            }
        }
        stands
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_stood_where_an_earlier_match_places_something_is_on_the_shelf() {
        let part = |at| Part { id: String::new(), at, fits: None, with: None, count: None, line: 0 };
        let parts = [Some(0), Some(1), Some(2), None].map(part).to_vec();
        let stock = Stock { kind: "shim".to_owned(), parts, ..Stock::default() };
        let mut taken = Taken::default();
        assert_eq!(taken.standing_after(&stock), [Some(0), Some(1), Some(2), None]);
        // What stood at 2 goes to 0, what lay on the shelf to 1; of another kind nothing moves.
        taken.take_to("shim", 2, 0);
        taken.take_to("shim", 3, 1);
        taken.take_to("rocker", 0, 2);
        assert_eq!(taken.standing_after(&stock), [None, None, Some(0), Some(1)]);
        assert_eq!(taken.pieces_of(&stock), [0, 0, 1, 1]);
    }
}
