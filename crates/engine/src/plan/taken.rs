//! Parts that earlier matches of a job have taken.

use crate::job::{Part, Stock};

/// Pieces taken by earlier matches: each part is used once over a job, a type as often as its count says.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Taken(Vec<One>);

/// A piece, and the position it goes to, counted among all of its kind; `None` for heads and gaskets.
#[derive(Clone, Debug, PartialEq, Eq)]
struct One {
    kind: String,
    part: usize,
    to: Option<usize>,
}

impl Taken {
    /// Takes a piece of the part at index `part` of the stock of `kind`.
    pub fn take(&mut self, kind: &str, part: usize) {
        self.0.push(One { kind: kind.to_owned(), part, to: None });
    }

    /// The same, for the position at index `to` of all of its kind.
    pub fn take_to(&mut self, kind: &str, part: usize, to: usize) {
        self.0.push(One { kind: kind.to_owned(), part, to: Some(to) });
    }

    /// How many pieces of every part of a stock are taken.
    pub(super) fn pieces_of(&self, stock: &Stock) -> Vec<u32> {
        let mut pieces = vec![0; stock.parts.len()];
        for one in self.0.iter().filter(|one| one.kind == stock.kind) {
            if let Some(pieces) = pieces.get_mut(one.part) {
                *pieces += 1;
            }
        }
        pieces
    }

    /// Where every part of a stock stands once the earlier matches are carried out: what they place where they place it,
    /// and what stood there before on the shelf.
    pub(crate) fn standing_after(&self, stock: &Stock) -> Vec<Option<usize>> {
        let placed = || self.0.iter().filter(|one| one.kind == stock.kind).filter_map(|one| Some((one.part, one.to?)));
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
