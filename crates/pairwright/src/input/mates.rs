//! Whether pistons and rods that name each other as mates agree.

use std::collections::HashMap;

use crate::diagnostic::{Code, Collector, Diagnostic, Place};

use super::names::Ids;
use super::stock::StockRead;

/// A piston and a rod that belong together, and where that is said.
struct Pair<'a> {
    piston: &'a str,
    rod: &'a str,
    place: Place,
}

/// Reports parts that would have two mates.
pub(super) fn check(stocks: &[StockRead], ids: &[Ids<'_>], found: &mut Collector) {
    let mut pairs = Vec::new();
    for (kind, mate) in [("piston", "rod"), ("rod", "piston")] {
        let of = |kind: &str| ids.iter().find(|ids| ids.kind == kind);
        let (Some(read), Some(mates)) = (stocks.iter().find(|read| read.stock.kind == kind), of(mate)) else { return };
        let Some(grid) = read.grid.as_ref().filter(|grid| grid.has("with")) else { continue };
        for (row, part) in read.stock.parts.iter().enumerate() {
            let Some(with) = part.with.as_deref().filter(|with| mates.find(with).is_some()) else { continue };
            let (piston, rod) = if kind == "piston" { (part.id.as_str(), with) } else { (with, part.id.as_str()) };
            pairs.push(Pair { piston, rod, place: grid.place(row, "with") });
        }
    }
    let mut by_piston: HashMap<&str, &Pair<'_>> = HashMap::new();
    let mut by_rod: HashMap<&str, &Pair<'_>> = HashMap::new();
    for pair in &pairs {
        let (of_piston, of_rod) =
            (*by_piston.entry(pair.piston).or_insert(pair), *by_rod.entry(pair.rod).or_insert(pair));
        let (message, first) = if of_piston.rod != pair.rod {
            (format!("piston `{}` would have two rods, `{}` and `{}`", pair.piston, of_piston.rod, pair.rod), of_piston)
        } else if of_rod.piston != pair.piston {
            (format!("rod `{}` would have two pistons, `{}` and `{}`", pair.rod, of_rod.piston, pair.piston), of_rod)
        } else {
            continue;
        };
        let item = Diagnostic::wrong(Code::PartMates, message)
            .at(pair.place.clone(), "")
            .at(first.place.clone(), "said before here")
            .help("a piston and a rod that belong together name each other, or one names the other; correct one cell");
        found.push(item.in_cell("with"));
    }
}
