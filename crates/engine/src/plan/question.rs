//! What one match asks, with everything it asks about.

use super::Lack;
use crate::fit::{Fit, Pair, piston_fits};
use crate::job::{FitName, Goal, Job, Matching, Next, Positions, Stock};
use crate::limit::{Factor, Limit, gather};
use crate::reduction::Reduction;
use crate::statistics::Risk;

/// A match with its positions, its stock, its fits and its limits.
#[derive(Debug)]
pub(crate) struct Question<'j> {
    pub(crate) job: &'j Job,
    /// Index of the match.
    pub(crate) index: usize,
    pub(crate) matching: &'j Matching,
    pub(crate) positions: &'j Positions,
    pub(crate) stock: &'j Stock,
    pub(crate) reduction: Option<&'j Reduction>,
    fits: Vec<Box<dyn Fit + 'j>>,
    /// Place of the aim's fit among them.
    aim: usize,
    pub(crate) limits: Vec<Limit>,
    /// The factor of the guard bands.
    pub(crate) guard: Factor,
    /// Parts already taken by an earlier match of the job, by index.
    taken: Vec<bool>,
}

impl<'j> Question<'j> {
    /// Gathers what the match at `index` needs; `taken` lists the parts used by earlier matches.
    ///
    /// # Errors
    /// Everything that the match needs and the job does not say.
    pub(crate) fn new(
        job: &'j Job,
        index: usize,
        reduction: Option<&'j Reduction>,
        taken: &[usize],
    ) -> Result<Self, Vec<Lack>> {
        let matching = &job.matches[index];
        let lack = |what: &str| vec![Lack { fit: matching.aim.fit, what: what.to_owned() }];
        let positions = job.positions("cylinder").ok_or_else(|| lack("cylinders"))?;
        let stock = job.stock("piston").ok_or_else(|| lack("a stock of pistons"))?;
        let mut fits = Vec::new();
        let mut lacks = Vec::new();
        for (name, fit) in FitName::ALL.into_iter().zip(piston_fits(job, reduction)) {
            match fit {
                Ok(fit) => fits.push(fit),
                Err(lack) if needed(matching, positions, name) => lacks.push(lack),
                Err(_) => {}
            }
        }
        if !lacks.is_empty() {
            return Err(lacks);
        }
        let aim = fits.iter().position(|fit| fit.name() == matching.aim.fit);
        let aim = aim.ok_or_else(|| lack("what the aim's fit is made of"))?;
        let mut taken_flags = vec![false; stock.parts.len()];
        for &part in taken {
            taken_flags[part] = true;
        }
        let limits = gather(matching, positions);
        let guard = Factor::new(Risk::new(job.risk).unwrap_or(Risk::ONE_IN_40));
        Ok(Self { job, index, matching, positions, stock, reduction, fits, aim, limits, guard, taken: taken_flags })
    }

    /// The parts that earlier matches of the job have taken, by index.
    pub(crate) fn taken(&self) -> Vec<usize> {
        (0..self.taken.len()).filter(|&part| self.taken[part]).collect()
    }

    /// The fit called `name`; every fit that the match needs is there.
    pub(crate) fn fit(&self, name: FitName) -> Option<&(dyn Fit + 'j)> {
        self.fits.iter().find(|fit| fit.name() == name).map(AsRef::as_ref)
    }

    /// The fit that the aim is about.
    pub(crate) fn aim_fit(&self) -> &(dyn Fit + 'j) {
        self.fits[self.aim].as_ref()
    }

    /// All fits that can be predicted.
    pub(crate) fn fits(&self) -> impl Iterator<Item = &(dyn Fit + 'j)> {
        self.fits.iter().map(AsRef::as_ref)
    }

    /// Whether the stock lets the part into the position and no earlier match has taken it.
    pub(crate) fn may_go(&self, pair: Pair) -> bool {
        let bank = self.positions.banks.get(pair.position).copied().flatten();
        !self.taken[pair.part] && self.stock.parts[pair.part].may_go(pair.position, bank)
    }

    /// Whether the part may be used at all: a control part may not.
    pub(crate) fn usable(&self, part: usize) -> bool {
        (0..self.positions.len()).any(|position| self.may_go(Pair { position, part }))
    }

    /// Whether `keep` or `bar` excludes the pair.
    pub(crate) fn pinned_out(&self, pair: Pair) -> bool {
        let kept = |pin: &crate::job::Pin| (pin.position == pair.position) != (pin.part == pair.part);
        let barred = |pin: &crate::job::Pin| pin.position == pair.position && pin.part == pair.part;
        self.matching.keep.iter().any(kept) || self.matching.bar.iter().any(barred)
    }

    /// Whether the stock says where any part stands now.
    pub(crate) fn knows_where_parts_stand(&self) -> bool {
        self.stock.parts.iter().any(|part| part.at.is_some())
    }

    /// Pairs, position after position, parts ascending.
    pub(crate) fn pairs(&self) -> impl Iterator<Item = Pair> + use<> {
        let parts = self.stock.parts.len();
        (0..self.positions.len()).flat_map(move |position| (0..parts).map(move |part| Pair { position, part }))
    }

    /// The value that the aim is near to, in ticks.
    pub(crate) fn target(&self) -> Option<i64> {
        match self.matching.aim.goal {
            Goal::Near(value) => Some(value.ticks()),
            Goal::Even | Goal::Highest | Goal::Lowest => None,
        }
    }
}

/// Whether the match asks anything about `fit`.
fn needed(matching: &Matching, positions: &Positions, fit: FitName) -> bool {
    matching.aim.fit == fit
        || matching.limits.iter().any(|limit| limit.fit == fit)
        || positions.limits.iter().any(|limit| limit.fit == fit)
        || matching.then.iter().flatten().any(|next| *next == Next::Spread(fit))
}
