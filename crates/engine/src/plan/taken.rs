//! Parts that earlier matches of a job have taken.

use crate::job::Stock;

/// Pieces taken by earlier matches: each part is used once over a job, a type as often as its count says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Taken(Vec<(String, usize)>);

impl Taken {
    /// Takes a piece of the part at index `part` of the stock of `kind`.
    pub fn take(&mut self, kind: &str, part: usize) {
        self.0.push((kind.to_owned(), part));
    }

    /// How many pieces of every part of a stock are taken.
    pub(super) fn pieces_of(&self, stock: &Stock) -> Vec<u32> {
        let mut pieces = vec![0; stock.parts.len()];
        for (_, part) in self.0.iter().filter(|(kind, _)| *kind == stock.kind) {
            if let Some(pieces) = pieces.get_mut(*part) {
                *pieces += 1;
            }
        }
        pieces
    }
}
