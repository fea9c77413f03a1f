//! Settings: which heads go on which banks, and which gasket goes under them.

use super::question::Question;
use crate::job::{Part, Pin, Scope, Stock};

/// A part that serves a whole bank, or the whole engine.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Served {
    /// Index of its role in the match's `place`.
    pub role: usize,
    /// Index of the bank; `None` where it serves the engine.
    pub bank: Option<usize>,
    /// Index of the part in the stock of the role.
    pub part: usize,
}

/// What is chosen a bank at a time: by role in the order of `place`, then by bank.
///
/// Empty where a match places nothing but parts of single positions.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Setting {
    /// The parts.
    pub served: Vec<Served>,
}

impl Setting {
    /// The part of the role at index `role` of `place` that serves `bank`.
    #[must_use]
    pub fn part(&self, role: usize, bank: usize) -> Option<usize> {
        let serves = |served: &&Served| served.role == role && served.bank.is_none_or(|own| own == bank);
        self.served.iter().find(serves).map(|served| served.part)
    }

    /// What serves one bank.
    pub(crate) fn on(&self, bank: usize) -> Self {
        let serves = |served: &Served| served.bank.is_none_or(|own| own == bank);
        Self { served: self.served.iter().copied().filter(serves).collect() }
    }

    /// The parts of one role, bank after bank.
    pub fn of_role(&self, role: usize) -> impl Iterator<Item = &Served> {
        self.served.iter().filter(move |served| served.role == role)
    }
}

/// More settings than this are not gone through.
pub(crate) const MOST: usize = 50_000;

/// A place that takes one part of a role: the bank, or the engine.
#[derive(Clone, Copy, Debug)]
struct Opening {
    role: usize,
    bank: Option<usize>,
    /// Pieces that one choice uses up.
    pieces: u32,
}

/// Every setting that stock, `fits`, `keep` and `bar` allow, in order of roles, banks and files; `None` when
/// there are more than [`MOST`].
pub(super) fn settings(question: &Question<'_>) -> Option<Vec<Setting>> {
    let openings = openings(question);
    let mut found = Vec::new();
    let mut so_far = Vec::with_capacity(openings.len());
    extend(question, &openings, &mut so_far, &mut found).then_some(found)
}

fn openings(question: &Question<'_>) -> Vec<Opening> {
    let banks = question.banks();
    let mut openings = Vec::new();
    for (role, asked) in question.matching.place.iter().enumerate() {
        match question.matching.scope(&asked.kind) {
            Scope::Position => {}
            Scope::Bank => {
                openings.extend((0..banks).map(|bank| Opening { role, bank: Some(bank), pieces: 1 }));
            }
            Scope::Engine => {
                let pieces = u32::try_from(banks).unwrap_or(u32::MAX);
                openings.push(Opening { role, bank: None, pieces });
            }
        }
    }
    openings
}

/// The setting as its parts stand now; `None` unless all of them are known.
pub(super) fn as_found(question: &Question<'_>) -> Option<Setting> {
    let now = |opening: Opening| {
        let stock = question.stocks[opening.role];
        let only = || (stock.kind == "gasket" && stock.parts.len() == 1).then_some(0);
        let part = stock.parts.iter().position(|part| stands(part, opening.bank)).or_else(only)?;
        Some(Served { role: opening.role, bank: opening.bank, part })
    };
    let served = openings(question).into_iter().map(now).collect::<Option<_>>()?;
    Some(Setting { served })
}

/// Whether a part serves the bank now; one that serves the engine stands on any of its banks.
pub(super) fn stands(part: &Part, bank: Option<usize>) -> bool {
    part.at.is_some_and(|at| bank.is_none_or(|bank| bank == at))
}

/// Fills the next opening in every way; `false` when there are too many.
fn extend(question: &Question<'_>, openings: &[Opening], so_far: &mut Vec<Served>, found: &mut Vec<Setting>) -> bool {
    let Some(opening) = openings.get(so_far.len()) else {
        found.push(Setting { served: so_far.clone() });
        return found.len() <= MOST;
    };
    let stock = question.stocks[opening.role];
    for part in 0..stock.parts.len() {
        if may_serve(question, *opening, part) && enough_left(question, openings, so_far, *opening, part) {
            so_far.push(Served { role: opening.role, bank: opening.bank, part });
            let go_on = extend(question, openings, so_far, found);
            so_far.pop();
            if !go_on {
                return false;
            }
        }
    }
    true
}

/// Whether the stock and the match let the part serve there.
fn may_serve(question: &Question<'_>, opening: Opening, part: usize) -> bool {
    let fits = |bank: usize| question.stocks[opening.role].parts[part].may_serve(bank);
    let fits = match opening.bank {
        Some(bank) => fits(bank),
        None => (0..question.banks()).all(fits),
    };
    let place = opening.bank.unwrap_or(0);
    fits && !pinned_out(question, opening.role, place, part)
}

/// Whether `keep` or `bar` excludes a part of a role from a place.
pub(crate) fn pinned_out(question: &Question<'_>, role: usize, place: usize, part: usize) -> bool {
    let (matching, stock) = (question.matching, question.stocks[role]);
    if matching.keep.is_empty() && matching.bar.is_empty() {
        return false;
    }
    let same = |pin: &Pin| stock.is_alike(pin.part, part);
    let mut kept = matching.keep.iter().filter(|pin| pin.role == role);
    let mut barred = matching.bar.iter().filter(|pin| pin.role == role);
    // A type of which there are several may be kept in one place and stand in another too.
    let types = stock.kind == "gasket" || stock.parts.get(part).is_some_and(Part::is_type);
    kept.any(|pin| if pin.position == place { !same(pin) } else { same(pin) && !types })
        || barred.any(|pin| pin.position == place && same(pin))
}

fn enough_left(
    question: &Question<'_>,
    openings: &[Opening],
    so_far: &[Served],
    opening: Opening,
    part: usize,
) -> bool {
    let Some(count) = pieces(question.stocks[opening.role], &question.stocks[opening.role].parts[part]) else {
        return true;
    };
    let used: u32 = so_far
        .iter()
        .zip(openings)
        .filter(|(served, _)| served.role == opening.role && served.part == part)
        .map(|(_, opening)| opening.pieces)
        .sum();
    used + question.taken(opening.role, part) + opening.pieces <= count
}

/// How many pieces a row of a stock stands for; `None` is any number.
pub(super) fn pieces(stock: &Stock, part: &Part) -> Option<u32> {
    part.count.or_else(|| (stock.kind != "gasket").then_some(1))
}
