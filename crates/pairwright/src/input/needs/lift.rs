//! What valve lift is made of: lobes, and rockers by ratio or by a lift read over a reference lobe.

use crate::input::job_file::Section;

use super::Needs;
use super::wanted::Wanted;

const ROCKER: &str = "rocker";

impl Needs<'_> {
    /// The lobe lift that `[engine]` states serves where a valve has none of its own.
    pub(super) fn lobes(&mut self, wanted: &Wanted) {
        if self.names.draft.engine.lobe_lift.is_some() {
            return;
        }
        if self.has_column("lobe_lift") {
            self.position_cells("lobe_lift", "lobe lift", wanted);
        } else if !self.is_hidden(Section::Engine) {
            let help = "add a column `lobe_lift` to the valves file, or `lobe_lift` under `[engine]`";
            self.lacks("the lift of the lobes is not known", wanted, help);
        }
    }

    /// A ratio for every rocker, or a lift and the lobe that it was read over.
    pub(super) fn ratios(&mut self, wanted: &Wanted) {
        let Some((read, grid)) = self.stock(ROCKER).filter(|(_, grid)| grid.has("lift")) else {
            return self.cells(ROCKER, "ratio", "ratio", wanted);
        };
        self.check_standing(ROCKER, wanted);
        let common = self.names.draft.engine.reference_lobe.is_some();
        let known =
            |row: usize, name: &'static str| read.stock.columns.value(name, row).is_some() || grid.is_bad(row, name);
        if !common && !grid.has("reference_lobe") && !self.is_hidden(Section::Engine) {
            let help = "add `reference_lobe` under `[engine]`: the lift of the lobe that the rockers were read over";
            self.lacks("the lobe that the lift of the rockers was read over is not known", wanted, help);
            return;
        }
        for row in self.counted(ROCKER).into_iter().filter(|&row| !known(row, "ratio")) {
            if !known(row, "lift") {
                self.no_cell(read, grid, row, "lift", "the lift", wanted);
            } else if !common && !known(row, "reference_lobe") {
                self.no_cell(read, grid, row, "reference_lobe", "the reference lobe", wanted);
            }
        }
    }
}
