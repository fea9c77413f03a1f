//! The roles of a match: what is chosen a position, what a bank, what stands as it is.

use crate::fit::Cast;
use crate::job::{Job, Matching, Scope, Stock};

/// Which role is chosen how. Roles that the match places are numbered as in `place`.
#[derive(Debug)]
pub(super) struct Roles {
    pub(super) cast: Cast,
    /// So many roles are placed.
    placed: usize,
    /// The role that varies in tables. One that the match does not place stays where it stands.
    pub(super) first: usize,
    /// A second role of another kind, with a choice of its own for every position.
    pub(super) second: Option<usize>,
    /// Further roles that take parts of the first one's kind, from the same pile: the lower shell beside the upper.
    pub(super) beside: Vec<usize>,
    /// Which part of another role goes with each part of the first.
    pub(super) mates: Option<Mates>,
}

/// Parts that are mated (`with`), such as a piston on its rod.
#[derive(Debug)]
pub(super) struct Mates {
    /// The role of the mates.
    pub(super) role: usize,
    /// For every part of the first role its mate.
    pub(super) of: Vec<Option<usize>>,
    /// The mate comes along wherever the part goes: there is nothing left to choose.
    pub(super) follow: bool,
}

impl Mates {
    /// Whether two parts may stand together: mated ones only with each other.
    pub(super) fn may_meet(&self, first: usize, second: usize) -> bool {
        match self.of[first] {
            Some(mate) => mate == second,
            None => !self.of.contains(&Some(second)),
        }
    }
}

impl Roles {
    /// # Errors
    /// What the job would have to have, in plain words.
    pub(super) fn new(job: &Job, matching: &Matching) -> Result<Self, String> {
        let mut place = matching.place.iter().map(|role| role.kind.as_str());
        let positions = job.positions_of(matching).map_or("", |positions| positions.kind.as_str());
        let here = job.stocks.iter().filter(|stock| stock.goes_to() == positions);
        let cast = Cast::of(&matching.place, here.map(|stock| stock.kind.as_str()));
        if let Some(kind) = place.find(|kind| job.stock(kind).is_none()) {
            return Err(format!("a stock of {kind}s"));
        }
        let placed = matching.place.len();
        let mut inner: Vec<usize> =
            (0..placed).filter(|&role| matching.scope(&matching.place[role].kind) == Scope::Position).collect();
        // Pistons vary in the tables where there are any: their effects are what readings are about.
        inner.sort_by_key(|&role| matching.place[role].kind != "piston");
        let first = match inner.first() {
            Some(&first) => first,
            None => cast.role("piston").ok_or("pistons that say where they stand (`at`)")?,
        };
        let kinds: Vec<&str> = cast.kinds().collect();
        let mates = mates(job, &cast, kinds[first]);
        let mut beside = matching.of_one_kind();
        beside.retain(|&role| role != first);
        if !beside.is_empty() && beside.len() + 1 != matching.place.len() {
            return Err("a match of its own for the kind of which a position takes several".to_owned());
        }
        let others = inner.get(1).copied().filter(|_| beside.is_empty());
        let second = others.filter(|&second| {
            let follows = |mates: &Mates| mates.role == second && mates.follow;
            !mates.as_ref().is_some_and(follows)
        });
        Ok(Self { cast, placed, first, second, beside, mates })
    }

    pub(super) fn is_placed(&self, role: usize) -> bool {
        role < self.placed
    }
}

/// The part of a role that is not placed, as it stands at the position or on its bank: by `at`, or the only gasket
/// there is.
pub(super) fn standing(stock: &Stock, position: usize, bank: usize) -> Option<usize> {
    let place = match stock.kind.as_str() {
        "head" | "gasket" => bank,
        _ => position,
    };
    let only = || (stock.kind == "gasket" && stock.parts.len() == 1).then_some(0);
    stock.parts.iter().position(|part| part.at == Some(place)).or_else(only)
}

/// The mates of the parts of `kind`, in another stock of the job; `None` where no part has one.
fn mates(job: &Job, cast: &Cast, kind: &str) -> Option<Mates> {
    let parts = &job.stock(kind)?.parts;
    let usable = |part: &&crate::job::Part| part.fits.as_ref().is_none_or(|places| !places.is_empty());
    for (role, other) in cast.kinds().enumerate().filter(|(_, other)| *other != kind) {
        let stock = job.stock(other)?;
        let mate = |part: &crate::job::Part| {
            let label = part.with.as_ref()?;
            stock.parts.iter().position(|other| other.id == *label)
        };
        let of: Vec<Option<usize>> = parts.iter().map(mate).collect();
        if of.iter().any(Option::is_some) {
            let follow = parts.iter().zip(&of).filter(|(part, _)| usable(part)).all(|(_, mate)| mate.is_some());
            return Some(Mates { role, of, follow });
        }
    }
    None
}
