//! Kinds that a match does not place: their parts stand as they are, and must say where.

use crate::diagnostic::{Code, Diagnostic};
use crate::input::kinds::on_banks;

use super::Needs;
use super::wanted::Wanted;

impl Needs<'_> {
    /// The rows of the stock of `kind` that count: those that may be placed, or those that stand somewhere.
    pub(super) fn counted(&self, kind: &str) -> Vec<usize> {
        let Some((read, _)) = self.stock(kind) else { return Vec::new() };
        let parts = &read.stock.parts;
        let placed = self.is_placed(kind);
        let alone = kind == "gasket" && parts.len() == 1;
        let counts = |row: &usize| {
            let part = &parts[*row];
            if placed {
                part.fits.as_ref().is_none_or(|places| !places.is_empty())
            } else {
                alone || part.at.is_some() || part.with.is_some()
            }
        };
        (0..parts.len()).filter(counts).collect()
    }

    /// Reports the places where no part of `kind` stands, if the match does not place it.
    pub(super) fn check_standing(&mut self, kind: &str, wanted: &Wanted) {
        let Some((read, grid)) = self.stock(kind).filter(|_| self.stood.insert(kind.to_owned())) else { return };
        let parts = &read.stock.parts;
        let alone = kind == "gasket" && parts.len() == 1;
        // A mate stands where its part stands.
        let mated = ["piston", "rod"].iter().filter_map(|kind| self.stock(kind)).any(|(_, grid)| grid.has("with"));
        let (resolved, places) = (self.resolved, &self.resolved.at.places);
        if self.is_placed(kind) || alone || grid.has_refused() || !read.is_whole() || !places.trusted {
            return;
        }
        if mated && !on_banks(kind) {
            return;
        }
        let banks = on_banks(kind);
        let (what, labels) =
            if banks { ("on bank".to_owned(), &places.bank_names) } else { (places.stand(), &places.labels) };
        let empty = |at: &usize| (banks || resolved.serves(*at)) && !parts.iter().any(|part| part.at == Some(*at));
        let empty: Vec<_> = (0..labels.len()).filter(empty).map(|at| format!("`{}`", labels[at])).collect();
        if empty.is_empty() {
            return;
        }
        let message = format!("no {kind} stands {what} {}", empty.join(", "));
        let item = Diagnostic::missing(Code::NeedStanding, message)
            .at(grid.header_place(), "")
            .at(wanted.place.clone(), wanted.why.clone())
            .help(match kind {
                // The cell holds one bank, and one type mostly lies on all.
                "gasket" => {
                    "add `gasket` to `place`; or leave only the gasket that lies everywhere in the file, or one \
                             row for each bank with the bank in its `at`"
                        .to_owned()
                }
                _ => format!("write into a column `at` where each {kind} stands now, or add `{kind}` to `place`"),
            });
        self.found.push(item);
    }
}
