//! Rows that stand for several pieces, laid out piece by piece.

use super::{Change, Column, Columns, Job, Part, Pin, Stock};

impl Part {
    /// As a `count`: as many as anybody wants.
    pub const ANY: u32 = u32::MAX;

    /// Whether its row is a type, of which several pieces may be placed, rather than one measured part.
    #[must_use]
    pub const fn is_type(&self) -> bool {
        self.count.is_some()
    }
}

impl Stock {
    /// Whether two parts are pieces of one type: rows with a `count` of one label, on one line of one file.
    #[must_use]
    pub fn is_alike(&self, one: usize, other: usize) -> bool {
        let row = |part: usize| self.parts.get(part).filter(|part| part.is_type()).map(|part| (part.line, &part.id));
        one == other || row(one).is_some() && row(one) == row(other)
    }

    /// The first piece of the type that a part is a piece of; the part itself where it is none.
    #[must_use]
    pub fn first_alike(&self, part: usize) -> usize {
        let mut first = part;
        while first > 0 && self.is_alike(first - 1, part) {
            first -= 1;
        }
        first
    }

    /// Whether a part is one more piece of the type before it.
    #[must_use]
    pub fn is_further_piece(&self, part: usize) -> bool {
        self.first_alike(part) != part
    }

    /// Pieces lie on the shelf by themselves, heads and gaskets are counted where they are set.
    fn is_laid_out(&self) -> bool {
        !matches!(self.kind.as_str(), "head" | "gasket") && self.parts.iter().any(Part::is_type)
    }
}

impl Job {
    /// The same job with every row that has a `count` as so many parts, one behind the other, each with an error of its
    /// own: as many as there are, and no more than the matches have places for. Heads and gaskets stay as they are. What
    /// refers to such a row refers to its first piece then, and only that one stands `at` its place or is mated.
    ///
    /// A match that is made of a job whose rows are not laid out places one piece of each.
    #[must_use]
    pub fn with_pieces(mut self) -> Self {
        for at in 0..self.stocks.len() {
            let places = self.places_for(&self.stocks[at].kind).max(1);
            self.lay_out_added(at, places);
            if !self.stocks[at].is_laid_out() {
                continue;
            }
            let (stock, starts) = laid_out(&self.stocks[at], places);
            self.stocks[at] = stock;
            let kind = self.stocks[at].kind.clone();
            self.renumber(&kind, &starts);
            self.renumber_changes(at, &starts);
        }
        self
    }

    /// How many places all matches have together for parts of `kind`.
    fn places_for(&self, kind: &str) -> usize {
        let of = |matching: &super::Matching| {
            let roles = matching.place.iter().filter(|role| role.kind == kind).count();
            roles * self.positions_of(matching).map_or(0, super::Positions::len)
        };
        self.matches.iter().map(of).sum()
    }

    /// Follows the parts of `kind` to their new places.
    fn renumber(&mut self, kind: &str, starts: &[usize]) {
        let moved = |part: &mut usize| *part = starts.get(*part).copied().unwrap_or(*part);
        for matching in &mut self.matches {
            let of_kind = |role: usize| matching.place.get(role).is_some_and(|role| role.kind == kind);
            let pins = matching.keep.iter_mut().chain(&mut matching.bar);
            pins.filter(|pin| of_kind(pin.role)).for_each(|pin| moved(&mut pin.part));
        }
        let Some(deck) = &mut self.deck else { return };
        match kind {
            "piston" => deck.rows.iter_mut().for_each(|row| moved(&mut row.part)),
            "rod" => {
                let rods = deck.rows.iter_mut().filter_map(|row| row.rod.as_mut());
                rods.chain(&mut deck.control_rod).for_each(moved);
            }
            _ => {}
        }
    }
}

/// What-ifs name parts, too: what one says of a type it says of every piece.
impl Job {
    /// Lays out what what-ifs add to the stock of a kind.
    fn lay_out_added(&mut self, stock: usize, places: usize) {
        let changes = self.what_ifs.iter_mut().flat_map(|what_if| &mut what_if.changes);
        for change in changes {
            if let Change::Add { stock: to, parts } = change
                && *to == stock
                && parts.is_laid_out()
            {
                *parts = laid_out(parts, places).0;
            }
        }
    }

    /// Follows the parts of the stock at `stock`, whose rows begin at `starts` now, to their new places.
    fn renumber_changes(&mut self, stock: usize, starts: &[usize]) {
        let end = self.stocks[stock].parts.len();
        let kind = self.stocks[stock].kind.as_str();
        let of_kind = |matching: usize, role: usize| {
            self.matches.get(matching).and_then(|one| one.place.get(role)).is_some_and(|role| role.kind == kind)
        };
        let start = |part: usize| starts.get(part).copied().unwrap_or(part);
        let pieces = |part: usize| start(part)..starts.get(part + 1).copied().unwrap_or(end);
        for what_if in &mut self.what_ifs {
            let spread = |change: &Change| -> Vec<Change> {
                match *change {
                    Change::Fix { matching, pin } if of_kind(matching, pin.role) => {
                        vec![Change::Fix { matching, pin: Pin { part: start(pin.part), ..pin } }]
                    }
                    Change::Without { stock: of, part } if of == stock => {
                        pieces(part).map(|part| Change::Without { stock, part }).collect()
                    }
                    Change::Admit { stock: of, part } if of == stock => {
                        pieces(part).map(|part| Change::Admit { stock, part }).collect()
                    }
                    Change::CutCrown { piston, by, dish } if kind == "piston" => {
                        pieces(piston).map(|piston| Change::CutCrown { piston, by, dish }).collect()
                    }
                    _ => vec![change.clone()],
                }
            };
            what_if.changes = what_if.changes.iter().flat_map(spread).collect();
        }
    }
}

/// A stock piece by piece, and where each row begins in it.
fn laid_out(stock: &Stock, places: usize) -> (Stock, Vec<usize>) {
    let pieces = |part: &Part| part.count.map_or(1, |count| usize::try_from(count).unwrap_or(usize::MAX).min(places));
    let mut starts = Vec::with_capacity(stock.parts.len());
    let mut rows = Vec::with_capacity(stock.parts.len());
    let mut parts = Vec::with_capacity(stock.parts.len());
    for (row, part) in stock.parts.iter().enumerate() {
        starts.push(parts.len());
        for piece in 0..pieces(part) {
            let mut one = Part { count: part.count.map(|_| 1), ..part.clone() };
            if piece > 0 {
                (one.at, one.with) = (None, None);
            }
            parts.push(one);
            rows.push(row);
        }
    }
    let spread = |column: &Column| Column {
        name: column.name.clone(),
        values: rows.iter().map(|&row| column.values.get(row).copied().flatten()).collect(),
    };
    let columns = Columns::new(stock.columns.iter().map(spread).collect());
    (Stock { parts, columns, ..stock.clone() }, starts)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Amount, Unit};

    fn part(id: &str, count: Option<u32>, line: u32) -> Part {
        Part { id: id.to_owned(), at: Some(3), fits: None, with: Some("mate".to_owned()), count, line }
    }

    #[test]
    fn a_row_becomes_its_pieces_and_no_more_than_there_are_places() {
        let price = |cents| Some(Amount::new(cents, Unit::Money, 2));
        let columns =
            Columns::new(vec![Column { name: "price".to_owned(), values: vec![None, price(680), price(340)] }]);
        let parts = vec![part("A", None, 2), part("any", Some(Part::ANY), 3), part("two", Some(2), 4)];
        let stock = Stock { kind: "shim".to_owned(), parts, columns, ..Stock::default() };
        let (pieces, starts) = laid_out(&stock, 3);
        let ids: Vec<&str> = pieces.parts.iter().map(|part| part.id.as_str()).collect();
        assert_eq!(ids, ["A", "any", "any", "any", "two", "two"]);
        assert_eq!(starts, [0, 1, 4]);
        let prices: Vec<_> = (0..6).map(|part| pieces.columns.value("price", part).map(Amount::ticks)).collect();
        assert_eq!(prices, [None, Some(680), Some(680), Some(680), Some(340), Some(340)]);
        // One piece stands there and is mated.
        let standing: Vec<_> = pieces.parts.iter().map(|part| part.at.is_some() && part.with.is_some()).collect();
        assert_eq!(standing, [true, true, false, false, true, false]);
        assert!(pieces.is_alike(1, 3) && !pieces.is_alike(3, 4) && pieces.is_alike(0, 0) && !pieces.is_alike(0, 1));
        assert_eq!([0, 3, 5].map(|part| pieces.first_alike(part)), [0, 1, 4]);
    }
}
