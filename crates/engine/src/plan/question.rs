//! What one match asks, with everything it asks about.

use super::entries::{Asking, Standpoint, entry_fits, entry_limits};
use super::roles::{Mates, Roles, standing};
use super::setting::{self, Served, Setting};
use super::several::alike;
use super::{Lack, Taken};
use crate::fit::{Fit, Seat, Shift, boxed, fits, shifted_fits};
use crate::job::{FitName, Goal, Job, Matching, Next, Part, Positions, Stock};
use crate::limit::{Factor, Limit, gather};
use crate::reduction::Reductions;
use crate::statistics::Risk;

/// A match with its positions, its stocks, its fits and its limits.
#[derive(Debug)]
pub(crate) struct Question<'j> {
    pub(crate) job: &'j Job,
    /// Index of the match.
    pub(crate) index: usize,
    pub(crate) matching: &'j Matching,
    pub(crate) positions: &'j Positions,
    /// A stock a role; those that the match places come first, in the order of `place`.
    pub(crate) stocks: Vec<&'j Stock>,
    pub(crate) reductions: &'j Reductions,
    roles: Roles,
    fits: Vec<Box<dyn Fit + 'j>>,
    /// Place of the aim's fit among them.
    aim: usize,
    pub(crate) limits: Vec<Limit>,
    /// The factor of the guard bands.
    pub(crate) guard: Factor,
    /// Parts that earlier matches of the job have taken.
    pub(crate) earlier: &'j Taken,
    /// How many pieces of every part of every role those are.
    taken: Vec<Vec<u32>>,
}

impl<'j> Question<'j> {
    /// Gathers what the match at `index` needs; `earlier` lists the parts used by earlier matches.
    ///
    /// # Errors
    /// Everything that the match needs and the job does not say.
    pub(crate) fn new(
        job: &'j Job,
        index: usize,
        reductions: &'j Reductions,
        earlier: &'j Taken,
    ) -> Result<Self, Vec<Lack>> {
        let matching = &job.matches[index];
        let lack = |what: &str| vec![Lack { fit: matching.aim.fit, what: what.to_owned() }];
        let positions = job.positions_of(matching).ok_or_else(|| lack("positions"))?;
        let roles = Roles::new(job, matching).map_err(|what| lack(&what))?;
        let stocks: Vec<&Stock> = roles.cast.kinds().filter_map(|kind| job.stock(kind)).collect();
        let mut known = Vec::new();
        let mut lacks = Vec::new();
        for (name, fit) in
            job.fits.all().zip(fits(job, &roles.cast, reductions.deck.as_ref(), reductions.chambers.as_ref()))
        {
            match fit {
                Ok(fit) => known.push(fit),
                Err(lack) if needed(matching, positions, name) => lacks.push(lack),
                Err(_) => {}
            }
        }
        let asking = Asking { matching, positions, cast: &roles.cast };
        for entry in entries(job, index, reductions, earlier, asking, Shift::default()) {
            match entry {
                Ok(entry) => known.push(entry),
                Err(lack) => lacks.push(lack),
            }
        }
        if !lacks.is_empty() {
            return Err(lacks);
        }
        let aim = known.iter().position(|fit| fit.name() == matching.aim.fit);
        let aim = aim.ok_or_else(|| lack("what the aim's fit is made of"))?;
        let taken = stocks.iter().map(|stock| earlier.pieces_of(stock)).collect();
        let mut limits = gather(matching, positions);
        limits.extend(entry_limits(job, positions, known.iter().map(|fit| fit.name())));
        let guard = Factor::new(Risk::new(job.risk).unwrap_or(Risk::ONE_IN_40));
        Ok(Self {
            job,
            index,
            matching,
            positions,
            stocks,
            reductions,
            roles,
            fits: known,
            aim,
            limits,
            guard,
            earlier,
            taken,
        })
    }

    /// The fit called `name`; every fit that the match needs is there.
    pub(crate) fn fit(&self, name: FitName) -> Option<&(dyn Fit + 'j)> {
        self.fits.iter().find(|fit| fit.name() == name).map(AsRef::as_ref)
    }

    /// The fit that the aim is about.
    pub(crate) fn aim_fit(&self) -> &(dyn Fit + 'j) {
        self.fits[self.aim].as_ref()
    }

    /// The fits that the aim and the limits are about with a little more of something, those of the ledger included.
    pub(crate) fn shifted(&self, shift: Shift) -> Vec<Box<dyn Fit + 'j>> {
        let Reductions { deck, chambers } = self.reductions;
        let wanted = |name| self.matching.aim.fit == name || self.limits.iter().any(|limit: &Limit| limit.fit == name);
        let own = shifted_fits(self.job, &self.roles.cast, deck.as_ref(), chambers.as_ref(), (shift, &wanted));
        let asking = Asking { matching: self.matching, positions: self.positions, cast: &self.roles.cast };
        let entries = entries(self.job, self.index, self.reductions, self.earlier, asking, shift);
        own.into_iter().chain(entries).filter_map(Result::ok).collect()
    }

    /// All fits that can be predicted, entries of the ledger included.
    pub(crate) fn fits(&self) -> impl Iterator<Item = &(dyn Fit + 'j)> {
        self.fits.iter().map(AsRef::as_ref)
    }

    /// Banks that heads and gaskets go to: one where the job names none.
    pub(crate) fn banks(&self) -> usize {
        self.job.banks.len().max(1)
    }

    /// The bank of a position.
    pub(crate) fn bank(&self, position: usize) -> usize {
        self.positions.banks.get(position).copied().flatten().unwrap_or(0)
    }

    /// Heads, gaskets and parts of the second role as they stand now; `None` unless all of them are known.
    pub(crate) fn as_found(&self) -> Option<(Setting, Vec<usize>)> {
        let setting = setting::as_found(self)?;
        if !self.roles.beside.is_empty() {
            return Some((setting, self.beside_as_found()?));
        }
        let Some(role) = self.roles.second else { return Some((setting, Vec::new())) };
        let at = |position| self.stocks[role].parts.iter().position(|part| self.stands(part) == Some(position));
        Some((setting, (0..self.positions.len()).map(at).collect::<Option<_>>()?))
    }

    /// The parts of the roles beside the first as they stand now, those of a position in the order of the file; `None` where
    /// another number stands anywhere than the position takes, and where it matters which part plays which role: the stock
    /// does not say that.
    fn beside_as_found(&self) -> Option<Vec<usize>> {
        if !alike(self) {
            return None;
        }
        let stock = self.stocks[self.roles.first];
        let mut beside = Vec::new();
        for position in 0..self.positions.len() {
            let stands = |part: &usize| self.stands(&stock.parts[*part]) == Some(position);
            let mut there = (0..stock.parts.len()).filter(stands);
            there.next()?;
            let before = beside.len();
            beside.extend(there);
            if beside.len() - before != self.roles.beside.len() {
                return None;
            }
        }
        Some(beside)
    }

    /// Positions that stand side by side, front to back.
    pub(crate) fn neighbours(&self) -> Vec<(usize, usize)> {
        let rows = self.positions.rows(&self.job.banks);
        rows.iter().flat_map(|row| row.windows(2).map(|two| (two[0], two[1]))).collect()
    }

    /// The position where a part of this match stands now; beyond the positions that the match serves where it stands
    /// in another of their kind.
    pub(crate) fn stands(&self, part: &Part) -> Option<usize> {
        part.at.map(|at| self.positions.within(at))
    }

    /// The role whose parts are chosen a position, the first of them if there are two.
    pub(crate) fn first_role(&self) -> usize {
        self.roles.first
    }

    /// Further roles of the first one's kind, their parts chosen from the same pile.
    pub(crate) fn beside(&self) -> &[usize] {
        &self.roles.beside
    }

    /// The second role, of another kind, whose parts are chosen a position.
    pub(crate) fn second_role(&self) -> Option<usize> {
        self.roles.second
    }

    /// Whether the parts of `role` come along with their mates.
    pub(crate) fn follows(&self, role: usize) -> bool {
        self.roles.mates.as_ref().is_some_and(|mates| mates.follow && mates.role == role)
    }

    /// Every setting that may be chosen; `None` where they are too many to go through.
    pub(crate) fn settings(&self) -> Option<Vec<Setting>> {
        setting::settings(self)
    }

    /// A position, counted among all of its kind, with everything but the part of the first role: the parts that a setting brings, that of the
    /// second role, and those of roles that the match does not place, as they stand.
    pub(crate) fn seat(&self, position: usize, setting: &Setting, second: Option<usize>) -> Seat {
        let bank = self.bank(position);
        let whole = self.positions.among_all(position);
        let mut seat = Seat::empty(whole);
        for role in 0..self.stocks.len() {
            let part = if role == self.roles.first {
                None
            } else if Some(role) == self.roles.second {
                second
            } else if self.roles.is_placed(role) {
                setting.part(role, bank)
            } else {
                standing(self.stocks[role], whole, bank)
            };
            seat = part.map_or(seat, |part| seat.with(role, part));
        }
        seat
    }

    /// The seat of a match that places several parts of one kind a position, these being the parts of the roles beside
    /// the first, in their order.
    pub(crate) fn seat_beside(&self, position: usize, parts: impl IntoIterator<Item = usize>) -> Seat {
        let seat = self.seat(position, &Setting::default(), None);
        self.roles.beside.iter().zip(parts).fold(seat, |seat, (&role, part)| seat.with(role, part))
    }

    /// The seat with the mate of its part of the first role, where mates follow.
    pub(crate) fn with_mate(&self, seat: Seat, part: usize) -> Seat {
        match &self.roles.mates {
            Some(Mates { role, of, follow: true }) => of[part].map_or(seat, |mate| seat.with(*role, mate)),
            _ => seat,
        }
    }

    /// Whether a part of the first role may stand with one of the second: mated parts stay together.
    pub(crate) fn may_meet(&self, first: usize, second: usize) -> bool {
        self.roles.mates.as_ref().is_none_or(|mates| mates.may_meet(first, second))
    }

    /// Whether the stock lets the part of `role` into the position and no earlier match has taken it.
    pub(crate) fn may_go(&self, role: usize, position: usize, part: usize) -> bool {
        let known = &self.stocks[role].parts[part];
        let bank = self.positions.banks.get(position).copied().flatten();
        let left = setting::pieces(self.stocks[role], known).is_none_or(|count| self.taken[role][part] < count);
        let whole = self.positions.among_all(position);
        let stands = self.roles.is_placed(role) || known.at == Some(whole);
        left && stands && known.may_go(whole, bank)
    }

    /// How many pieces of a part earlier matches of the job have taken.
    pub(crate) fn taken(&self, role: usize, part: usize) -> u32 {
        self.taken[role][part]
    }

    /// How many pieces one part of a setting is: a gasket for the engine lies once on every bank.
    pub(super) fn pieces_of(&self, served: &Served) -> i64 {
        if served.bank.is_some() { 1 } else { i64::try_from(self.banks()).unwrap_or(1) }
    }

    /// Whether the stocks say where any part that the match places stands now.
    pub(crate) fn knows_where_parts_stand(&self) -> bool {
        let placed = &self.stocks[..self.matching.place.len()];
        placed.iter().any(|stock| stock.parts.iter().any(|part| part.at.is_some()))
    }

    /// The value that the aim is near to, in ticks.
    pub(crate) fn target(&self) -> Option<i64> {
        match self.matching.aim.goal {
            Goal::Near(value) => Some(value.ticks()),
            Goal::Even | Goal::Highest | Goal::Lowest => None,
        }
    }
}

/// What is left of the entries of the ledger that a match has to hold.
fn entries<'j>(
    job: &'j Job,
    index: usize,
    reductions: &'j Reductions,
    earlier: &'j Taken,
    asking: Asking<'_>,
    shift: Shift,
) -> impl Iterator<Item = Result<Box<dyn Fit + 'j>, Lack>> {
    let later = job.matches.get(index + 1..).unwrap_or_default();
    let standpoint = Standpoint { job, asking: Some(asking), later, earlier };
    entry_fits(job, reductions, standpoint, shift).into_iter().map(|entry| entry.map(boxed))
}

/// Whether the match asks anything about `fit`.
fn needed(matching: &Matching, positions: &Positions, fit: FitName) -> bool {
    matching.aim.fit == fit
        || matching.limits.iter().any(|limit| limit.fit == fit)
        || positions.limits.iter().any(|limit| limit.fit == fit)
        || matching.then.iter().flatten().any(|next| *next == Next::Spread(fit))
}
