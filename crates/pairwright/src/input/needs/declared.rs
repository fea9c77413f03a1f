//! What declared fits are made of.

use pairwright_engine::job::FitName;

use crate::diagnostic::{Code, Diagnostic};

use super::Needs;
use super::wanted::Wanted;

impl Needs<'_> {
    /// Every column that the fit adds up, where a match asks for the fit.
    pub(super) fn declared(&mut self, fit: FitName, wanted: &Wanted) {
        let declared = &self.names.draft.declared;
        for term in declared.fits.get(fit).map_or(&[][..], |fit| &fit.terms) {
            let Some(column) = declared.column(self.names.draft.kind_of(&term.owner), &term.column) else { continue };
            if !self.columns_done.insert((column.owner, column.name)) {
                continue;
            }
            if column.owner == self.resolved.at.positions.kind {
                if !self.no_row_has(column.owner, column.name, wanted) {
                    self.position_cells(column.name, &column.name.replace('_', " "), wanted);
                }
            } else if !self.no_row_has(column.owner, column.name, wanted) {
                self.cells(column.owner, column.name, column.name, wanted);
            }
        }
    }

    /// Reports a column without a single value; one report in place of one for every row.
    fn no_row_has(&mut self, owner: &str, name: &'static str, wanted: &Wanted) -> bool {
        let at = self.resolved.at;
        let grid = if owner == at.positions.kind { at.grid.as_ref() } else { self.stock(owner).map(|(_, grid)| grid) };
        let values = if owner == at.positions.kind {
            at.positions.columns.named(name)
        } else {
            self.stock(owner).and_then(|(read, _)| read.stock.columns.named(name))
        };
        let (Some(grid), Some(values)) = (grid, values) else { return false };
        let bad = (0..values.values.len()).any(|row| grid.is_bad(row, name));
        if bad || values.values.is_empty() || values.values.iter().any(Option::is_some) {
            return false;
        }
        let item = Diagnostic::missing(Code::NeedColumn, format!("no row has a value in the column `{name}`"))
            .at(grid.header_place(), "")
            .at(wanted.place.clone(), wanted.why.clone())
            .help(format!("measure `{name}` of every {owner} and fill the cells"));
        self.found.push(item);
        true
    }
}
