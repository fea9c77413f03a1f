//! What deck clearance is made of: readings, or the sizes of the parts.

use crate::diagnostic::{Code, Diagnostic};
use crate::input::job_file::Section;

use super::Needs;
use super::wanted::Wanted;

impl Needs<'_> {
    pub(super) fn deck(&mut self, wanted: &Wanted) {
        let draft = self.names.draft;
        if draft.is_refused(Section::Readings) {
            return;
        }
        if draft.deck.is_some() {
            self.check_standing("piston", wanted);
            if self.is_placed("rod") {
                self.cells("rod", "length", "length_mm", wanted);
            }
            if self.rods_differ() {
                self.control_rod(wanted);
            }
            return;
        }
        let heights = self.stock("piston").is_some_and(|(_, grid)| grid.has("compression_height"));
        let deck_heights = self.has_column("deck_height") || draft.engine.deck_height.is_some();
        if !heights && !deck_heights {
            let item = Diagnostic::missing(Code::NeedReadings, "there are no readings of deck clearance")
                .at(wanted.place.clone(), wanted.why.clone())
                .help(
                    "take dial readings and name their file under `[readings]`: `deck = \"deck-readings.csv\"`; or \
                     measure compression heights, rod lengths, deck heights and the stroke",
                );
            self.found.push(item);
            return;
        }
        self.strokes_once(wanted);
        self.rod_lengths(wanted);
        self.cells("piston", "compression_height", "compression_height_mm", wanted);
        if draft.engine.deck_height.is_some() {
            return;
        }
        if self.has_column("deck_height") {
            self.position_cells("deck_height", "deck height", wanted);
        } else if !self.is_hidden(Section::Engine) {
            let help = "add a column `deck_height` to the cylinders file, or `deck_height` under `[engine]`";
            self.lacks("the deck heights are not known", wanted, help);
        }
    }

    fn strokes_once(&mut self, wanted: &Wanted) {
        self.ingredient(super::Ingredient::Strokes, wanted);
    }

    fn rod_lengths(&mut self, wanted: &Wanted) {
        let stands = !self.counted("rod").is_empty();
        if self.stock("rod").is_some() && (self.is_placed("rod") || stands) {
            self.cells("rod", "length", "length_mm", wanted);
        } else if self.names.draft.engine.rod_length.is_none()
            && ![Section::Engine, Section::Stock].iter().any(|&section| self.names.draft.is_refused(section))
        {
            let help = "add `rod_length` under `[engine]`, or a stock of rods that says where each stands";
            self.lacks("the rod lengths are not known", wanted, help);
        }
    }

    /// Whether the rods of the job are not all of one length.
    fn rods_differ(&self) -> bool {
        let lengths = self.names.stock("rod").and_then(|read| read.stock.columns.named("length"));
        let mut known = lengths.iter().flat_map(|column| column.values.iter().flatten()).map(|length| length.ticks());
        let first = known.next();
        known.any(|length| Some(length) != first)
    }

    /// A reading says nothing of another rod unless it says on which it was taken.
    fn control_rod(&mut self, wanted: &Wanted) {
        let Some(deck) = self.names.deck.filter(|deck| deck.control_rod.is_none()) else { return };
        if self.names.draft.deck.as_ref().is_some_and(|deck| deck.rod.is_some()) {
            return;
        }
        let Some(row) = deck.rows.iter().find(|row| row.rod.is_none() && !row.leave_out) else { return };
        let message = format!("line {} of `{}` does not say on which rod the reading was taken", row.line, deck.file);
        let item = Diagnostic::missing(Code::NeedReadings, message)
            .at(wanted.place.clone(), format!("{}, and the rods differ in length", wanted.why))
            .help("name the rod of all readings under `[readings]`: `rod = \"R1\"` in `deck`; or fill a column `rod`");
        self.found.push(item);
    }
}
