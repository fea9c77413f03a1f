//! What the stocks must say, and how many parts they must have.

use pairwright_engine::job::{Next, Part, Scope};

use crate::diagnostic::{Code, Diagnostic};
use crate::input::grid::Grid;
use crate::input::job_file::Section;
use crate::input::kinds::{CHAMBERS, on_banks};
use crate::input::resolve::Resolved;
use crate::input::stock::StockRead;
use crate::noun::plural;

use super::Needs;
use super::wanted::Wanted;

impl Needs<'_> {
    /// Reports the parts of `kind` that count and lack a value.
    pub(super) fn cells(&mut self, kind: &str, name: &'static str, header: &str, wanted: &Wanted) {
        let Some((read, grid)) = self.stock(kind) else { return self.no_stock(kind, wanted) };
        self.check_standing(kind, wanted);
        if !grid.has(name) {
            let help = format!("measure each of them and add the column, for example as `{header}`");
            self.no_column(read, grid, name, &help, wanted);
            return;
        }
        for row in self.counted(kind) {
            if read.stock.columns.value(name, row).is_none() && !grid.is_bad(row, name) {
                self.no_cell(read, grid, row, name, &format!("the {}", name.replace('_', " ")), wanted);
            }
        }
    }

    fn no_stock(&mut self, kind: &str, wanted: &Wanted) {
        if self.names.stock(kind).is_none()
            && !self.names.draft.is_refused(Section::Stock)
            && self.stood.insert(kind.to_owned())
        {
            let help = format!("add `{kind} = \"{}.csv\"` under `[stock]`", plural(kind));
            self.lacks(&format!("nothing is known of the {}", plural(kind)), wanted, &help);
        }
    }

    pub(super) fn no_column(&mut self, read: &StockRead, grid: &Grid, name: &str, help: &str, wanted: &Wanted) {
        if grid.has_refused() {
            return;
        }
        let item =
            Diagnostic::missing(Code::NeedColumn, format!("the {} stock has no column `{name}`", read.stock.kind))
                .at(wanted.place.clone(), wanted.why.clone())
                .at(grid.header_place(), "")
                .help(help);
        self.found.push(item);
    }

    pub(super) fn no_cell(
        &mut self,
        read: &StockRead,
        grid: &Grid,
        row: usize,
        name: &'static str,
        what: &str,
        wanted: &Wanted,
    ) {
        let kind = &read.stock.kind;
        let column = if grid.has("bank") { "bank" } else { "fits" };
        let help = match name {
            "dish" => "pour it and fill the cell: 0 for a flat top, a dome is negative".to_owned(),
            _ if !self.is_placed(kind) => "fill the cell".to_owned(),
            _ => format!("fill the cell, or write `none` into the part's `{column}` and it is not placed"),
        };
        let message = format!("{what} of {kind} `{}` is not known", read.stock.parts[row].id);
        let item = Diagnostic::missing(Code::NeedCell, message)
            .at(grid.place(row, name), "")
            .at(wanted.place.clone(), wanted.why.clone())
            .help(help);
        self.found.push(item.in_cell(name));
    }

    /// Every head that counts: a volume for each chamber of the banks it may go on, typed or poured.
    pub(super) fn chambers(&mut self, wanted: &Wanted) {
        let Some((read, grid)) = self.stock("head") else { return self.no_stock("head", wanted) };
        self.check_standing("head", wanted);
        if !self.names.pours_whole {
            return;
        }
        let pours = self.names.chambers;
        if !grid.has(CHAMBERS.names[0]) && pours.is_none() {
            if !self.names.draft.is_refused(Section::Readings) {
                let help = "pour each chamber and add the columns `chamber_1_cc`, `chamber_2_cc` …; or name a file of \
                            pours under `[readings]`: `chamber = \"chamber-readings.csv\"`";
                self.no_column(read, grid, CHAMBERS.names[0], help, wanted);
            }
            return;
        }
        for row in self.counted("head") {
            let part = &read.stock.parts[row];
            let banks = self.names.cylinders.banks.iter().enumerate();
            let serves =
                |bank: usize| if self.is_placed("head") { part.may_serve(bank) } else { part.at == Some(bank) };
            let most = banks.filter(|(bank, _)| serves(*bank)).map(|(_, bank)| bank.cylinders.len()).max().unwrap_or(0);
            let unknown = |at: &usize| {
                let poured = pours.is_some_and(|pours| {
                    pours.rows.iter().any(|pour| pour.head == row && pour.chamber == *at && !pour.leave_out)
                });
                let name = CHAMBERS.names[*at];
                !poured && read.stock.columns.value(name, row).is_none() && !grid.is_bad(row, name)
            };
            let unknown: Vec<_> = (0..most.min(CHAMBERS.names.len())).filter(unknown).collect();
            if let (Some(&last), false) = (unknown.last(), grid.has_refused()) {
                self.no_chambers(read, grid, row, (&unknown, last), wanted);
            }
        }
    }

    /// Reports the chambers of one head that are neither typed nor poured.
    fn no_chambers(
        &mut self,
        read: &StockRead,
        grid: &Grid,
        row: usize,
        (unknown, last): (&[usize], usize),
        wanted: &Wanted,
    ) {
        let id = &read.stock.parts[row].id;
        let numbers: Vec<_> = unknown.iter().map(|at| (at + 1).to_string()).collect();
        let message = match &numbers[..] {
            [one] => format!("chamber {one} of head `{id}` is not known"),
            several => format!("chambers {} of head `{id}` are not known", several.join(", ")),
        };
        let column = unknown.iter().map(|&at| CHAMBERS.names[at]).find(|name| grid.has(name));
        let mut help = match (self.names.chambers, column) {
            (Some(pours), _) => format!("pour what is missing and add rows to `{}`", pours.file),
            (None, Some(_)) => "pour what is missing and fill the cells".to_owned(),
            (None, None) => format!("pour what is missing and add columns up to `{}_cc`", CHAMBERS.names[last]),
        };
        if self.is_placed("head") {
            help.push_str("; or write `none` into the head's `fits` and it is not placed");
        }
        let item = Diagnostic::missing(Code::NeedCell, message)
            .at(grid.place(row, column.unwrap_or("id")), "")
            .at(wanted.place.clone(), wanted.why.clone())
            .help(help);
        self.found.push(item.in_cell("chambers"));
    }

    /// Every gasket that counts: its volume, or its thickness and its opening.
    pub(super) fn gasket_volumes(&mut self, wanted: &Wanted) {
        let Some((read, grid)) = self.stock("gasket") else { return self.no_stock("gasket", wanted) };
        if !grid.has("gasket") {
            self.ingredient(super::Ingredient::GasketThickness, wanted);
            self.cells("gasket", "bore", "bore_mm", wanted);
            return;
        }
        self.check_standing("gasket", wanted);
        for row in self.counted("gasket") {
            let has = |name: &'static str| read.stock.columns.value(name, row).is_some() || grid.is_bad(row, name);
            let known = has("gasket") || (has("bore") && has("thickness"));
            if !known {
                self.no_cell(read, grid, row, "gasket", "the volume", wanted);
            }
        }
    }

    /// What `then` needs besides fits.
    pub(super) fn nexts(&mut self, read: &StockRead, grid: &Grid) {
        let (names, resolved) = (self.names, self.resolved);
        let kind = read.stock.kind.as_str();
        for next in resolved.draft.first.iter().chain(resolved.draft.then.iter().flatten()) {
            let wanted = |why: &str| Wanted { place: names.job.place(next.span.clone()), why: why.to_owned() };
            match next.value {
                // A gasket that was under a head is not used again.
                Next::Moves if !grid.has("at") && kind != "gasket" => {
                    let item = Diagnostic::missing(Code::NeedColumn, format!("the {kind} stock has no column `at`"))
                        .at(wanted("").place, "the number of moves counts next")
                        .at(grid.header_place(), "")
                        .help("add the column and write where each part stands now; leave it empty for a spare");
                    self.found.push(item);
                }
                Next::Moves | Next::Spread(_) | Next::Price | Next::Bought => {}
            }
        }
    }

    pub(super) fn enough_parts(&mut self, read: &StockRead) {
        let (kind, banks) = (read.stock.kind.as_str(), self.names.cylinders.banks.len());
        if !read.is_whole() || !self.resolved.at.places.trusted {
            return;
        }
        let takes = |one: &&Resolved<'_>| {
            // Two matches for the same positions are a mistake of their own.
            one.matching.role(kind).is_some() && !on_banks(kind) && !one.shares(self.resolved)
        };
        let takers: Vec<_> = self.earlier.iter().filter(takes).collect();
        let each = |one: &Resolved<'_>| one.matching.place.iter().filter(|role| role.kind == kind).count().max(1);
        let taken: usize = takers.iter().map(|one| one.served.len() * each(one)).sum();
        let anywhere = |part: &Part| part.fits.as_ref().is_none_or(|places| !places.is_empty());
        let count = |allowed: &dyn Fn(&Part) -> bool| {
            let any = if kind == "gasket" { usize::MAX } else { 1 };
            let copies = |part: &Part| part.count.map_or(any, |n| n as usize);
            read.stock.parts.iter().filter(|part| allowed(part)).map(copies).fold(0, usize::saturating_add)
        };
        let (wanted, usable, places) = match self.resolved.matching.scope(kind) {
            Scope::Position => {
                let usable = count(&anywhere).saturating_sub(taken);
                (self.resolved.served.len() * each(self.resolved), usable, plural(&self.resolved.served.kind))
            }
            Scope::Bank => (banks, count(&anywhere), "banks".to_owned()),
            // One type serves every bank, with a gasket on each.
            Scope::Engine => {
                let serves = |part: &Part| (0..banks).all(|bank| part.may_serve(bank)) && anywhere(part);
                let enough = |part: &Part| serves(part) && part.count.is_none_or(|n| n as usize >= banks);
                (banks.max(1), if count(&enough) > 0 { usize::MAX } else { 0 }, "banks".to_owned())
            }
        };
        if usable >= wanted {
            return;
        }
        let places = match each(self.resolved) {
            1 => format!("{wanted} {places} want a {kind}"),
            each => format!("{} {places} want {each} {kind}s each, {wanted} together,", wanted / each),
        };
        let never = if kind == "gasket" { "`bank`" } else { "`fits`" };
        let (message, help) = match self.resolved.matching.scope(kind) {
            Scope::Engine => (
                "no gasket serves every bank of the engine".to_owned(),
                format!(
                    "add one to `{}` of which there are {} or more, or write `gasket = \"per bank\"` into the match",
                    read.stock.file,
                    banks.max(1)
                ),
            ),
            _ if taken > 0 => (
                format!("{places} with only {usable} left: {} takes {taken}", names_of(&takers)),
                format!("add more to `{}`; each part is used once over the job", read.stock.file),
            ),
            _ => (
                format!("{places} and {usable} may be placed"),
                format!("add more to `{}`; parts whose {never} is `none` do not count", read.stock.file),
            ),
        };
        let mut item = Diagnostic::missing(Code::NeedParts, message);
        if let Some(place) = self.resolved.draft.place.iter().find(|at| at.value == *kind) {
            item = item.at(self.names.place(place), "");
        }
        self.found.push(item.help(help));
    }
}

/// ``match `intake` ``, or several.
fn names_of(matches: &[&Resolved<'_>]) -> String {
    let names: Vec<_> = matches.iter().map(|one| format!("match `{}`", one.matching.name)).collect();
    names.join(" and ")
}
