//! What the cylinders must say: bores and strokes.

use crate::diagnostic::{Code, Diagnostic};
use crate::input::job_file::Section;

use super::Needs;
use super::wanted::Wanted;

impl Needs<'_> {
    pub(super) fn bores(&mut self, wanted: &Wanted) {
        if self.has_column("bore") {
            self.position_cells("bore", "bore", wanted);
        } else if self.names.draft.engine.bore.is_none() && !self.is_hidden(Section::Engine) {
            let help = "add a column `bore` to the cylinders file, or `bore` under `[engine]`";
            self.lacks("the bores are not known", wanted, help);
        }
    }

    /// The stroke serves where a cylinder has no throw of its own.
    pub(super) fn strokes(&mut self, wanted: &Wanted) {
        if self.names.draft.engine.stroke.is_some() {
            return;
        }
        if self.has_column("throw") {
            self.position_cells("throw", "throw", wanted);
        } else if !self.is_hidden(Section::Engine) {
            let help = "add `stroke` under `[engine]`, or a column `throw` to the cylinders file";
            self.lacks("the stroke is not known", wanted, help);
        }
    }

    pub(super) fn has_column(&self, name: &str) -> bool {
        self.resolved.at.grid.as_ref().is_some_and(|grid| grid.has(name))
    }

    /// Reports the positions that lack a value.
    pub(super) fn position_cells(&mut self, name: &'static str, phrase: &str, wanted: &Wanted) {
        let at = self.resolved.at;
        let Some(grid) = &at.grid else { return };
        let kind = &at.positions.kind;
        for (position, row) in at.rows.iter().enumerate() {
            let Some(row) = row.filter(|_| self.resolved.serves(position)) else { continue };
            if at.positions.columns.value(name, position).is_none() && !grid.is_bad(row, name) {
                let id = &at.positions.ids[position];
                let item = Diagnostic::missing(Code::NeedCell, format!("the {phrase} of {kind} `{id}` is not known"))
                    .at(grid.place(row, name), "")
                    .at(wanted.place.clone(), wanted.why.clone())
                    .help("measure it and fill the cell");
                self.found.push(item.in_cell(name));
            }
        }
    }
}
