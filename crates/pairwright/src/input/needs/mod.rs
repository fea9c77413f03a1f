//! What a match still lacks: sound input that does not say enough.

mod deck;
mod declared;
mod lift;
mod prices;
mod seat;
mod standing;
mod stock;
mod wanted;

use std::collections::BTreeSet;

use pairwright_engine::job::FitName;

use crate::diagnostic::{Code, Collector, Diagnostic};

use super::grid::Grid;
use super::job_file::Section;
use super::kinds::on_banks;
use super::resolve::{Names, Resolved};
use super::stock::StockRead;
use wanted::{Wanted, who_wants};

/// What a fit is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Ingredient {
    Deck,
    Bores,
    Strokes,
    Diameters,
    Masses,
    Dishes,
    Chambers,
    GasketThickness,
    GasketVolume,
    Lobes,
    Ratios,
}

/// Everything that `resolved` lacks.
///
/// `earlier` are the matches before it, which take parts.
pub(super) fn of_match(names: &Names<'_>, resolved: &Resolved<'_>, earlier: &[Resolved<'_>]) -> Collector {
    let (found, done, stood) = (Collector::default(), BTreeSet::new(), BTreeSet::new());
    let mut needs = Needs { names, resolved, earlier, found, done, columns_done: BTreeSet::new(), stood };
    for fit in names.draft.declared.fits.all() {
        if let Some(wanted) = who_wants(names, resolved, fit) {
            for &ingredient in ingredients(fit) {
                needs.ingredient(ingredient, &wanted);
            }
            needs.declared(fit, &wanted);
        }
    }
    needs.prices();
    let place = &resolved.matching.place;
    let first = |at: usize| resolved.matching.role(&place[at].kind) == Some(at);
    for role in (0..place.len()).filter(|&at| first(at)).map(|at| &place[at]) {
        if let Some((read, grid)) = needs.stock(&role.kind) {
            needs.nexts(read, grid);
            needs.enough_parts(read);
        }
    }
    needs.found
}

fn ingredients(fit: FitName) -> &'static [Ingredient] {
    use Ingredient as I;
    match fit {
        FitName::Deck => &[I::Deck],
        FitName::Skirt => &[I::Bores, I::Diameters],
        FitName::Mass => &[I::Masses],
        FitName::Lift => &[I::Lobes, I::Ratios],
        FitName::Declared(_) | FitName::Entry(_) => &[],
        FitName::PistonToHead => &[I::GasketThickness, I::Deck],
        FitName::ClearanceVolume => &[I::Bores, I::Chambers, I::GasketVolume, I::Dishes, I::Deck],
        FitName::Compression => &[I::Bores, I::Strokes, I::Chambers, I::GasketVolume, I::Dishes, I::Deck],
    }
}

/// What was found to be missing so far.
struct Needs<'a> {
    names: &'a Names<'a>,
    resolved: &'a Resolved<'a>,
    earlier: &'a [Resolved<'a>],
    found: Collector,
    /// What was looked at; two fits may want the same.
    done: BTreeSet<Ingredient>,
    /// Columns of declared fits that were looked at: the kind, the column.
    columns_done: BTreeSet<(&'static str, &'static str)>,
    /// Kinds of which it was looked at whether they stand everywhere.
    stood: BTreeSet<String>,
}

impl<'a> Needs<'a> {
    fn ingredient(&mut self, ingredient: Ingredient, wanted: &Wanted) {
        if !self.done.insert(ingredient) {
            return;
        }
        match ingredient {
            Ingredient::Deck => self.deck(wanted),
            Ingredient::Bores => self.bores(wanted),
            Ingredient::Strokes => self.strokes(wanted),
            Ingredient::Diameters => self.cells("piston", "diameter", "diameter_mm", wanted),
            Ingredient::Masses => self.masses(wanted),
            Ingredient::Lobes => self.lobes(wanted),
            Ingredient::Ratios => self.ratios(wanted),
            Ingredient::Dishes => self.cells("piston", "dish", "dish_cc", wanted),
            Ingredient::Chambers => self.chambers(wanted),
            Ingredient::GasketThickness => self.cells("gasket", "thickness", "thickness_mm", wanted),
            Ingredient::GasketVolume => self.gasket_volumes(wanted),
        }
    }

    /// A mass for every part that is placed and moves; pistons alone where none is.
    fn masses(&mut self, wanted: &Wanted) {
        let moves = |kind: &&String| !on_banks(kind);
        let placed: Vec<_> = self.resolved.matching.place.iter().map(|role| &role.kind).filter(moves).collect();
        for kind in &placed {
            self.cells(kind, "mass", "mass_g", wanted);
        }
        if placed.is_empty() {
            self.cells("piston", "mass", "mass_g", wanted);
        }
    }

    fn stock(&self, kind: &str) -> Option<(&'a StockRead, &'a Grid)> {
        let read = self.names.stock(kind)?;
        Some((read, read.grid.as_ref()?))
    }

    fn is_placed(&self, kind: &str) -> bool {
        self.resolved.matching.role(kind).is_some()
    }

    /// Reports that `what` is not known, and how to make it known.
    fn lacks(&mut self, what: &str, wanted: &Wanted, help: &str) {
        let item = Diagnostic::missing(Code::NeedColumn, what).at(wanted.place.clone(), wanted.why.clone()).help(help);
        self.found.push(item);
    }

    /// Whether what seems to be missing may stand in what was refused.
    fn is_hidden(&self, section: Section) -> bool {
        self.resolved.at.may_hide_a_column()
            || [section, Section::Positions].iter().any(|&one| self.names.draft.is_refused(one))
    }
}
