//! What heads and gaskets ask of the banks: which way round, how many chambers, which bores.

use pairwright_engine::job::{FitName, Matching, Next, Part, Positions};

use crate::diagnostic::{Code, Diagnostic};

use super::chambers::columns_of;
use super::grid::Grid;
use super::job_file::{At, Section};
use super::kinds::{CHAMBERS, on_banks};
use super::load::Reading;
use super::resolve::{Names, Resolved};
use super::stock::StockRead;

/// Reports where the stocks of heads and gaskets, the matches and the banks contradict each other.
pub(super) fn check(names: &Names<'_>, resolved: &[Resolved<'_>], reading: &mut Reading) {
    if names.draft.is_refused(Section::Banks) || names.draft.is_refused(Section::Stock) {
        return;
    }
    for one in resolved {
        check_gasket_word(names, one, reading);
        if names.cylinders.banks.is_empty() {
            check_banks(names, one, reading);
        }
    }
    if names.cylinders.banks.is_empty() {
        return;
    }
    if resolved.iter().any(|one| wants_chambers(&one.matching, &one.served)) {
        check_seats(names, reading);
        if let Some((read, grid)) = stock(names, "head") {
            check_chambers(names, read, grid, reading);
        }
    }
    if resolved.iter().any(|one| one.matching.role("head").is_some()) {
        note_alike(names, reading);
    }
    if let Some((read, grid)) = stock(names, "gasket") {
        note_bores(names, read, grid, reading);
    }
}

fn stock<'a>(names: &Names<'a>, kind: &str) -> Option<(&'a StockRead, &'a Grid)> {
    let read = names.stock(kind)?;
    Some((read, read.grid.as_ref()?))
}

/// Whether it counts in which cylinder which chamber is.
fn wants_chambers(matching: &Matching, served: &Positions) -> bool {
    let by_volume = |fit: FitName| matches!(fit, FitName::ClearanceVolume | FitName::Compression);
    matching.role("head").is_some()
        || by_volume(matching.aim.fit)
        || matching.then.iter().flatten().any(|next| matches!(next, Next::Spread(fit) if by_volume(*fit)))
        || matching.limits.iter().any(|limit| by_volume(limit.fit))
        || served.limits.iter().any(|limit| by_volume(limit.fit))
}

fn check_gasket_word(names: &Names<'_>, one: &Resolved<'_>, reading: &mut Reading) {
    let Some(word) = one.draft.gasket_per_bank.as_ref().filter(|_| one.matching.role("gasket").is_none()) else {
        return;
    };
    let item = Diagnostic::wrong(Code::MatchKind, "this match does not place gaskets")
        .at(names.job.place(word.span.clone()), "how they are placed")
        .help("add `gasket` to `place`, or take this key out");
    reading.found.push(item);
}

/// What goes on banks wants `[banks]`.
fn check_banks(names: &Names<'_>, one: &Resolved<'_>, reading: &mut Reading) {
    let per_bank = one.matching.gasket_per_bank;
    let wants = |kind: &At<String>| on_banks(&kind.value) && (kind.value == "head" || per_bank);
    let Some(kind) = one.draft.place.iter().find(|kind| wants(kind)) else { return };
    let item = Diagnostic::wrong(
        Code::BankNone,
        format!("a {} goes on a bank, and the job has no `[banks]`", kind.value),
    )
    .at(names.place(kind), "")
    .help("add `[banks]` with the cylinders of each bank from the front to the back; one row of cylinders is one bank");
    reading.found.push(item);
}

/// With several banks, each says which way round its head sits.
fn check_seats(names: &Names<'_>, reading: &mut Reading) {
    let banks = &names.draft.banks;
    if banks.len() < 2 || names.stock("head").is_none() {
        return;
    }
    for bank in banks.iter().filter(|bank| bank.head.is_none()) {
        let name = &bank.name.value;
        let message = format!("bank `{name}` does not say which way round its head sits");
        let cylinders: Vec<_> = bank.cylinders.iter().map(|at| at.value.as_str()).collect();
        let help = format!(
            "turned end for end, a head brings its chambers to the cylinders in reverse order: write \
             `{name} = {{ cylinders = [{}], head = \"as measured\" }}`, or `head = \"turned\"` where chamber 1 is at the back",
            cylinders.join(", ")
        );
        reading.found.push(Diagnostic::wrong(Code::BankHeadSeat, message).at(names.place(&bank.name), "").help(help));
    }
}

/// A head has as many chambers as a bank that it may go on has cylinders.
fn check_chambers(names: &Names<'_>, read: &StockRead, grid: &Grid, reading: &mut Reading) {
    let columns = columns_of(grid);
    if grid.has_refused() || columns == 0 {
        return;
    }
    let mut poured = vec![0; read.stock.parts.len()];
    for row in names.chambers.iter().flat_map(|pours| &pours.rows) {
        if let Some(most) = poured.get_mut(row.head) {
            *most = (*most).max(row.chamber + 1);
        }
    }
    for (row, part) in read.stock.parts.iter().enumerate() {
        let banks: Vec<_> =
            names.cylinders.banks.iter().enumerate().filter(|(bank, _)| part.may_serve(*bank)).collect();
        let typed = |name: &'static str| read.stock.columns.value(name, row).is_some() || grid.is_bad(row, name);
        let filled = (0..columns).rev().find(|&at| typed(CHAMBERS.names[at])).map_or(0, |at| at + 1);
        let filled = filled.max(poured[row]);
        // Empty cells at the end may be chambers that are not there, or not measured yet.
        let may_be = |count: usize| (filled..=columns.max(filled)).contains(&count);
        if filled == 0 || banks.is_empty() || banks.iter().any(|(_, bank)| may_be(bank.cylinders.len())) {
            continue;
        }
        let have: Vec<_> =
            banks.iter().map(|(_, bank)| format!("bank `{}` has {}", bank.name, bank.cylinders.len())).collect();
        let message = format!(
            "the last chamber of head `{}` is number {filled}, and no bank it may go on has so many cylinders",
            part.id
        );
        let last = CHAMBERS.names[filled.clamp(1, columns) - 1];
        let item = Diagnostic::wrong(Code::HeadChambers, message)
            .at(grid.place(row, last), "its last chamber")
            .help(format!("{}; correct the row, the bank, or the head's `fits`", have.join(", ")));
        reading.found.push(item.in_cell("chambers"));
    }
}

/// Heads that may go on several banks, all of which sit the same way round.
fn note_alike(names: &Names<'_>, reading: &mut Reading) {
    let banks = &names.draft.banks;
    let alike = banks.len() > 1 && banks[0].head.is_some() && banks.iter().all(|bank| bank.head == banks[0].head);
    let Some((read, grid)) = stock(names, "head").filter(|_| alike) else { return };
    let free = |part: &Part| (0..banks.len()).filter(|&bank| part.may_serve(bank)).count() > 1;
    let Some((row, part)) = read.stock.parts.iter().enumerate().find(|(_, part)| free(part)) else { return };
    let message = "heads may go on either bank, and every bank says that its head sits the same way round";
    let item = Diagnostic::warning(Code::NoteHeadsAlike, message)
        .at(grid.place(row, "fits"), format!("`{}` may", part.id))
        .at(names.place(&banks[1].name), "")
        .help(
            "if the castings are handed, write the bank of each into its `fits`; if one casting serves both banks, \
             it mostly sits turned on one of them",
        );
    reading.found.push(item);
}

/// Gaskets whose opening is smaller than the bores it lies on.
fn note_bores(names: &Names<'_>, read: &StockRead, grid: &Grid, reading: &mut Reading) {
    let cylinders = &names.cylinders.positions;
    for (row, part) in read.stock.parts.iter().enumerate() {
        let Some(opening) = read.stock.columns.value("bore", row) else { continue };
        let bore = |at: usize| cylinders.columns.value("bore", at).or(names.draft.engine.bore);
        let serves = |at: &usize| cylinders.banks[*at].is_none_or(|bank| part.may_serve(bank));
        let largest = (0..cylinders.len())
            .filter(serves)
            .filter_map(|at| Some((bore(at)?, at)))
            .max_by_key(|(bore, _)| bore.ticks());
        let Some((bore, at)) = largest.filter(|(bore, _)| bore.ticks() > opening.ticks()) else { continue };
        let message = format!("the edge of gasket `{}` would stand in the bore", part.id);
        let item = Diagnostic::warning(Code::NoteGasketBore, message)
            .at(grid.place(row, "bore"), format!("cylinder `{}` has a bore of {bore}", cylinders.ids[at]))
            .help("check both figures, and ask the gasket's maker which bore it is made for");
        reading.found.push(item.in_cell("bore"));
    }
}
