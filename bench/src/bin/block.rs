//! `block JOB` writes in whole ticks what there is to choose from in a job's first match of pistons, rods, heads and
//! gaskets: the value of the aim wherever they can meet, and what limits ask for. Values, limits and guard bands are the
//! engine's own. `bench/block.py` gives the same choice to a general solver.
//!
//! Line after line: the bank of every position; how many pistons, rods, heads and gaskets; by how much masses may differ,
//! the guard band taken off; the masses, rods changing fastest; for every position its swept volume, then the volume that
//! each piston, rod, head and gasket adds to the clearance (the rod: more than the first one adds), in 1e-9 cc; then for
//! every position, head and gasket, gaskets changing fastest, the values, rods changing fastest, `x` where parts may not
//! meet or a limit is not held.

use std::collections::BTreeSet;
use std::error::Error;
use std::io::{self, Write};
use std::path::Path;

use pairwright::input;
use pairwright_engine::fit::{Cast, Doubt, Fit, Ingredient, Made, Seat, fits};
use pairwright_engine::job::{FitName, Goal, Job, Matching, Measured, Positions, Stock};
use pairwright_engine::limit::{Factor, Limit, band, gather};
use pairwright_engine::plan::LimitKind;
use pairwright_engine::reduction::Reductions;
use pairwright_engine::statistics::Risk;

/// The roles, in the order that the choice is written in.
const KINDS: [&str; 4] = ["piston", "rod", "head", "gasket"];

fn main() -> Result<(), Box<dyn Error>> {
    let folder = std::env::args().nth(1).ok_or("say `block JOB`")?;
    let loaded = input::load(Path::new(&folder)).map_err(|_| "the job does not load; `pairwright check` says why")?;
    let reductions = Reductions::new(&loaded.job)?;
    let block = Block::new(&loaded.job, &reductions)?;
    let out = &mut io::stdout().lock();
    writeln!(out, "{}", words(block.positions.banks.iter().map(|bank| bank.unwrap_or(0).to_string())))?;
    writeln!(out, "{}", words(block.stocks.iter().map(|stock| stock.parts.len().to_string())))?;
    writeln!(out, "{}", block.masses_apart()?)?;
    writeln!(out, "{}", words(block.masses()?.iter().map(ToString::to_string)))?;
    for position in 0..block.positions.len() {
        writeln!(out, "{}", words(block.volumes(position)?.iter().map(ToString::to_string)))?;
    }
    let value = |seat| block.admitted(seat).map_or_else(|| "x".to_owned(), |value| value.to_string());
    for position in 0..block.positions.len() {
        for head in 0..block.stocks[2].parts.len() {
            for gasket in 0..block.stocks[3].parts.len() {
                let seat = Seat::empty(position).with(2, head).with(3, gasket);
                writeln!(out, "{}", words(block.filled(seat).map(value)))?;
            }
        }
    }
    Ok(())
}

fn words(words: impl Iterator<Item = String>) -> String {
    words.collect::<Vec<_>>().join(" ")
}

/// A match of all four kinds.
struct Block<'j> {
    positions: &'j Positions,
    stocks: Vec<&'j Stock>,
    fits: Vec<Box<dyn Fit + 'j>>,
    aim: FitName,
    limits: Vec<Limit>,
    guard: Factor,
}

impl<'j> Block<'j> {
    fn new(job: &'j Job, reductions: &'j Reductions) -> Result<Self, Box<dyn Error>> {
        let matching = job.matches.first().ok_or("the job has no match")?;
        let positions = job.positions("cylinder").ok_or("the job has no cylinders")?;
        let stocks: Vec<&Stock> = KINDS.iter().filter_map(|kind| job.stock(kind)).collect();
        plain(matching, &stocks)?;
        let cast = Cast::new(KINDS, []);
        let all = fits(job, &cast, reductions.deck.as_ref(), reductions.chambers.as_ref());
        let guard = Factor::new(Risk::new(job.risk).ok_or("a risk beyond its range")?);
        Ok(Self {
            positions,
            stocks,
            fits: all.into_iter().filter_map(Result::ok).collect(),
            aim: matching.aim.fit,
            limits: gather(matching, positions),
            guard,
        })
    }

    fn fit(&self, name: FitName) -> Option<&(dyn Fit + 'j)> {
        self.fits.iter().find(|fit| fit.name() == name).map(AsRef::as_ref)
    }

    /// A seat with every piston and rod, rods changing fastest.
    fn filled(&self, seat: Seat) -> impl Iterator<Item = Seat> {
        let [pistons, rods] = [0, 1].map(|role: usize| self.stocks[role].parts.len());
        (0..pistons * rods).map(move |at| seat.with(0, at / rods).with(1, at % rods))
    }

    /// The value of the aim where the parts may meet and every limit on a single position is held.
    fn admitted(&self, seat: Seat) -> Option<i64> {
        let bank = self.positions.banks[seat.position];
        let may_stand = |role: usize| {
            let part = &self.stocks[role].parts[seat.part(role)?];
            Some(if role < 2 { part.may_go(seat.position, bank) } else { part.may_serve(bank?) })
        };
        let holds = |limit: &Limit| {
            if !matches!(limit.kind, LimitKind::Side(_)) {
                return Some(true);
            }
            let fit = self.fit(limit.fit)?;
            let doubt = if limit.guard { Some(fit.doubt(seat)?) } else { None };
            Some(limit.shortfall(seat.position, fit.value(seat)?, doubt, &self.guard) == 0)
        };
        let good = (0..KINDS.len()).all(|role| may_stand(role) == Some(true))
            && self.limits.iter().all(|limit| holds(limit) == Some(true));
        if good { self.fit(self.aim)?.value(seat) } else { None }
    }

    /// What pistons and rods weigh together: heads and gaskets add nothing.
    fn masses(&self) -> Result<Vec<i64>, Box<dyn Error>> {
        let fit = self.fit(FitName::Mass).ok_or("the parts have no masses")?;
        let masses: Option<Vec<i64>> = self.filled(Seat::empty(0)).map(|seat| fit.value(seat)).collect();
        Ok(masses.ok_or("a part has no mass")?)
    }

    /// What the compression at a position is made of.
    fn volumes(&self, position: usize) -> Result<Vec<i64>, Box<dyn Error>> {
        let fit = self.fit(FitName::Compression).ok_or("no compression")?;
        let first = (0..KINDS.len()).fold(Seat::empty(position), |seat, role| seat.with(role, 0));
        let of = |seat: Seat, wanted: &[Ingredient]| match fit.made(seat) {
            Some(made @ Made::Compression { .. }) => {
                let wanted = made.ingredients().into_iter().filter(|(ingredient, _)| wanted.contains(ingredient));
                Ok(wanted.map(|(_, ticks)| ticks * 1e3).sum::<f64>())
            }
            _ => Err("a compression that cannot be taken apart"),
        };
        let kinds: [&[Ingredient]; 4] = [
            &[Ingredient::Deck, Ingredient::Dish, Ingredient::Crevice],
            &[Ingredient::Deck],
            &[Ingredient::Chamber],
            &[Ingredient::Gasket],
        ];
        let mut volumes = vec![whole(of(first, &[Ingredient::Swept])?.round())];
        for (role, ingredients) in kinds.iter().enumerate() {
            let without = if role == 1 { of(first, ingredients)? } else { 0.0 };
            for part in 0..self.stocks[role].parts.len() {
                volumes.push(whole((of(first.with(role, part), ingredients)? - without).round()));
            }
        }
        Ok(volumes)
    }

    /// By how much masses may differ with the guard band taken off, which must be the same wherever two parts of each
    /// kind stand.
    fn masses_apart(&self) -> Result<i64, Box<dyn Error>> {
        let mut apart = self.limits.iter().filter(|limit| !matches!(limit.kind, LimitKind::Side(_)));
        let (Some(limit), None) = (apart.next(), apart.next()) else { return Err("not one limit on a spread".into()) };
        let (Some(most), Some(fit), FitName::Mass) = (limit.bound(0), self.fit(FitName::Mass), limit.fit) else {
            return Err("the spread is not that of masses".into());
        };
        let mut least = BTreeSet::new();
        for one in self.filled(Seat::empty(0)) {
            let others = self.filled(Seat::empty(1)).filter(|other| (0..2).all(|at| other.part(at) != one.part(at)));
            for other in others {
                let doubts = [one, other].map(|seat| fit.doubt(seat));
                let [Some(a), Some(b)] = doubts else { return Err("a mass that cannot be predicted".into()) };
                let covariance = fit.covariance(&[one, other]);
                let variance = covariance[(0, 0)] + covariance[(1, 1)] - 2.0 * covariance[(0, 1)];
                let dof = if b.dof < a.dof { b.dof } else { a.dof };
                let doubt = Doubt { u: variance.max(0.0).sqrt(), dof, from_line: false };
                let band = if limit.guard { band(doubt, &self.guard) } else { 0.0 };
                least.insert(most - whole(band));
            }
        }
        match (least.first(), least.len()) {
            (Some(&apart), 1) => Ok(apart),
            _ => Err("masses whose guard bands differ".into()),
        }
    }
}

#[expect(clippy::cast_possible_truncation, reason = "volumes and bands of masses of an engine are far inside i64")]
fn whole(band: f64) -> i64 {
    band.ceil() as i64
}

/// Refuses what the lines have no words for.
fn plain(matching: &Matching, stocks: &[&Stock]) -> Result<(), Box<dyn Error>> {
    let parts = || stocks.iter().flat_map(|stock| &stock.parts);
    let even = matching.aim.goal == Goal::Even && matching.aim.by == Measured::Spread && matching.aim.slack.is_none();
    let placed = KINDS.iter().all(|kind| matching.role(kind).is_some()) && matching.place.len() == KINDS.len();
    let free = matching.keep.is_empty() && matching.bar.is_empty() && parts().all(|part| part.with.is_none());
    let counted = parts().any(|part| part.count.is_some());
    match (even, placed && stocks.len() == KINDS.len(), free, counted, matching.gasket_per_bank) {
        (true, true, true, false, true) => Ok(()),
        _ => Err("not a plain match of pistons, rods, heads and gaskets per bank for least spread".into()),
    }
}
