//! Parts that earlier matches of a job have taken.

use crate::job::Stock;

/// Pieces taken by earlier matches: each part is used once over a job, a type as often as its count says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Taken {
    pieces: Vec<(String, usize)>,
    stands: Vec<(String, Spot, usize)>,
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
        self.pieces.push((kind.to_owned(), part));
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
        for (_, part) in self.pieces.iter().filter(|(kind, _)| *kind == stock.kind) {
            if let Some(pieces) = pieces.get_mut(*part) {
                *pieces += 1;
            }
        }
        pieces
    }
}
