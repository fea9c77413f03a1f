//! The pile of a match that places two kinds a position: one of them grows, the other stays as it is.

use super::affine::Affine;
use super::buying::Bought;
use super::couples::{Couples, Layer};
use super::guarded::Guarded;
use super::learned::{Learned, numbers_of};
use super::lines::{Columns, Unexplained};
use super::of_match::{Gathered, MatchPile, NotReady, PileOfMatch};
use super::{Pile, PileError, Population, Sought};
use crate::fit::Seat;
use crate::job::{Bounding, FitName};
use crate::limit::Limit;
use crate::plan::{Asked, Frame, LimitKind, Question, Relaxed, Search, Setting, Tables, pinned_out};

/// The pile of a match whose positions take two kinds, under the heads and gaskets of the present plan.
pub(super) fn pile_of_couples(
    question: &Question<'_>,
    second: usize,
    gathered: Gathered<'_>,
) -> Result<MatchPile, PileError> {
    let first = question.first_role();
    let kind = |role: usize| question.stocks[role].kind.as_str();
    let roles = match gathered.kind {
        Some(name) if name == kind(first) => [first, second],
        Some(name) if name == kind(second) => [second, first],
        _ => return Ok(MatchPile::NotReady(NotReady::WhichKind([first, second].map(|role| kind(role).to_owned())))),
    };
    let search = Search::new(question, Relaxed::default())?;
    let settings = search.settings();
    let setting = match (&settings[..], search.best(Asked::default())?.chosen()) {
        (all, Some(chosen)) => all.get(chosen.setting),
        ([only], None) => Some(only),
        (_, None) => None,
    };
    let Some(setting) = setting else { return Ok(MatchPile::NotReady(NotReady::NoPlanYet)) };
    match Seen::new(question, setting, roles) {
        Ok(seen) => seen.pile(gathered),
        Err(why) => Ok(MatchPile::NotReady(why)),
    }
}

/// Layers with the ticks of their limits.
type Limited = Vec<(usize, i64)>;

/// Couples with the numbers of the parts of the growing kind.
struct Seen<'q> {
    question: &'q Question<'q>,
    setting: &'q Setting,
    /// The growing one, and the other.
    roles: [usize; 2],
    /// Parts of either role that may stand somewhere.
    usable: [Vec<usize>; 2],
    /// Parts of the growing kind whose numbers are known.
    measured: Vec<usize>,
    columns: Columns,
    numbers: Vec<FitName>,
    lines: Vec<(FitName, Vec<Option<Affine>>)>,
}

impl<'q> Seen<'q> {
    fn new(question: &'q Question<'q>, setting: &'q Setting, roles: [usize; 2]) -> Result<Self, NotReady> {
        let mut asked = vec![question.matching.aim.fit];
        for limit in &question.limits {
            if !asked.contains(&limit.fit) {
                asked.push(limit.fit);
            }
        }
        let positions = 0..question.positions.len();
        let usable = roles.map(|role| {
            let may = |part: &usize| positions.clone().any(|position| question.may_go(role, position, *part));
            (0..question.stocks[role].parts.len()).filter(may).collect::<Vec<_>>()
        });
        let mut seen = Self {
            question,
            setting,
            roles,
            usable,
            measured: Vec::new(),
            columns: Columns::default(),
            numbers: Vec::new(),
            lines: Vec::new(),
        };
        let meet = |part: usize, other: usize| {
            let [one, other] = seen.in_order(part, other);
            question.may_meet(one, other)
        };
        if !seen.usable[0].iter().all(|&part| seen.usable[1].iter().all(|&other| meet(part, other))) {
            return Err(NotReady::Bound);
        }
        let known = |part: usize, name: FitName| {
            positions.clone().any(|at| seen.usable[1].iter().any(|&other| seen.value(name, at, part, other).is_some()))
        };
        let parts = 0..question.stocks[roles[0]].parts.len();
        seen.measured = parts.filter(|&part| asked.iter().all(|&name| known(part, name))).collect();
        for name in asked {
            seen.learn(name)?;
        }
        Ok(seen)
    }

    /// The first role's part, then the second's.
    fn in_order(&self, part: usize, other: usize) -> [usize; 2] {
        if self.roles[0] == self.question.first_role() { [part, other] } else { [other, part] }
    }

    fn seat(&self, position: usize, part: usize, other: usize) -> Seat {
        let [first, second] = self.in_order(part, other);
        self.question.seat(position, self.setting, Some(second)).with(self.question.first_role(), first)
    }

    fn value(&self, name: FitName, position: usize, part: usize, other: usize) -> Option<i64> {
        self.question.fit(name)?.value(self.seat(position, part, other))
    }

    fn slots(&self) -> usize {
        self.question.positions.len()
    }

    /// A row for every position and other part.
    fn learn(&mut self, name: FitName) -> Result<(), NotReady> {
        let rows = (0..self.slots()).flat_map(|position| self.usable[1].iter().map(move |&other| (position, other)));
        let row = |(position, other): (usize, usize)| {
            let value = |&part: &usize| self.value(name, position, part, other).map(|ticks| ticks as f64);
            self.measured.iter().map(value).collect::<Vec<_>>()
        };
        let rows: Vec<Vec<Option<f64>>> = rows.map(row).collect();
        let lines = self.columns.learn(&rows).map_err(|why| match why {
            Unexplained::NoCommonPosition => NotReady::Untied(name),
            Unexplained::MoreNumbers => NotReady::MoreNumbers(name),
        })?;
        self.numbers.resize(self.columns.0.len(), name);
        self.lines.push((name, lines));
        Ok(())
    }

    fn pile(self, gathered: Gathered<'_>) -> Result<MatchPile, PileError> {
        let question = self.question;
        let stock = question.stocks[self.roles[0]];
        let place = |part: &usize| self.measured.binary_search(part).ok();
        let Some(known) = self.usable[0].iter().map(place).collect::<Option<Vec<usize>>>() else {
            return Ok(MatchPile::NotReady(NotReady::Untied(question.matching.aim.fit)));
        };
        let is_measured = |at: &usize| !stock.parts[self.measured[*at]].is_type();
        let all: Vec<usize> = (0..self.measured.len()).filter(is_measured).collect();
        let population = Population::of(&numbers_of(&self.columns.0, &all))?;
        let sought = Sought::of(&question.matching.aim);
        let learned = Learned::of_couples(self.couples(gathered)?);
        let pile = Pile::among(learned, numbers_of(&self.columns.0, &known), population, sought)?;
        Ok(MatchPile::Ready(Box::new(PileOfMatch {
            kind: stock.kind.clone(),
            fit: question.matching.aim.fit,
            measured: all.len(),
            stated: self.usable[0].iter().filter(|&&part| stock.parts[part].is_type()).count(),
            numbers: self.numbers,
            pile,
        })))
    }

    fn couples(&self, gathered: Gathered<'_>) -> Result<Couples, PileError> {
        let question = self.question;
        let [parts, others] = [&self.usable[0], &self.usable[1]];
        let takes = |role: usize, position: usize, part: usize| {
            question.may_go(role, position, part) && !pinned_out(question, role, position, part)
        };
        let cell = |at: usize, name: FitName, position: usize, part: usize, other: usize| {
            if at > 0 {
                return self.value(name, position, part, other);
            }
            let may = takes(self.roles[0], position, part) && takes(self.roles[1], position, other);
            may.then(|| question.admitted(self.seat(position, part, other), Relaxed::default())).flatten()
        };
        let layer = |(at, (name, by_numbers)): (usize, &(FitName, Vec<Option<Affine>>))| {
            let mut stock = Vec::with_capacity(self.slots() * parts.len() * others.len());
            for position in 0..self.slots() {
                for &part in parts {
                    stock.extend(others.iter().map(|&other| cell(at, *name, position, part, other)));
                }
            }
            Layer { stock, by_numbers: by_numbers.clone() }
        };
        let (widths, apart) = self.differences()?;
        let slots = 0..self.slots();
        Ok(Couples {
            slots: self.slots(),
            parts: parts.len(),
            others: others.len(),
            layers: self.lines.iter().enumerate().map(layer).collect(),
            guards: question.limits.iter().flat_map(|limit| self.guards(limit)).collect(),
            takes_further: slots.clone().map(|at| !pinned_out(question, self.roles[0], at, usize::MAX)).collect(),
            takes_other: slots
                .flat_map(|at| others.iter().map(move |&other| takes(self.roles[1], at, other)))
                .collect(),
            widths,
            apart,
            neighbours: question.neighbours(),
            bought: Bought::of(question, self.setting, (self.roles[0], parts), gathered.price).beside(
                question,
                self.roles[1],
                others,
            ),
        })
    }

    /// The limits on spreads and on neighbours with their widest guard band, whichever parts of the second role stand there.
    fn differences(&self) -> Result<(Limited, Limited), PileError> {
        let seconds = if self.roles[0] == self.question.first_role() { &self.usable[1] } else { &self.usable[0] };
        let (mut widths, mut apart) = (Vec::<(usize, usize, i64)>::new(), Vec::new());
        for &second in seconds {
            let frame = Frame::new(self.question, self.setting.clone(), vec![second; self.slots()]);
            let tables = Tables::new(&frame, Relaxed::default())?;
            for (known, found) in [(&mut widths, &tables.widths), (&mut apart, &tables.apart)] {
                for width in found {
                    let Some(layer) = self.layer(self.question.limits[width.limit].fit) else { continue };
                    match known.iter_mut().find(|(limit, _, _)| *limit == width.limit) {
                        Some((_, _, ticks)) => *ticks = (*ticks).min(width.ticks),
                        None => known.push((width.limit, layer, width.ticks)),
                    }
                }
            }
        }
        let held = |all: Vec<(usize, usize, i64)>| all.into_iter().map(|(_, layer, ticks)| (layer, ticks)).collect();
        Ok((held(widths), held(apart)))
    }

    fn layer(&self, name: FitName) -> Option<usize> {
        self.lines.iter().position(|(known, _)| *known == name)
    }

    /// A limit on single positions as further parts meet it.
    fn guards(&self, limit: &Limit) -> Vec<Guarded> {
        let (LimitKind::Side(side), Some(layer)) = (limit.kind, self.layer(limit.fit)) else { return Vec::new() };
        let guard = |slot: usize| {
            let bound = limit.bound(slot)? as f64;
            // A fit that says nothing of this position limits nothing here.
            let others = self.usable[1].len();
            self.lines[layer].1.get(slot * others..(slot + 1) * others)?.iter().flatten().next()?;
            let band = self.band(limit, slot);
            let (low, high) = match side {
                Bounding::Min => (bound + band, f64::INFINITY),
                Bounding::Max => (f64::NEG_INFINITY, bound - band),
            };
            Some(Guarded { slot, layer, low, high })
        };
        (0..self.slots()).filter_map(guard).collect()
    }

    /// The guard band of a couple in the middle of the stock, in whole ticks.
    fn band(&self, limit: &Limit, position: usize) -> f64 {
        let own = |(part, other): (usize, usize)| {
            let doubt = self.question.fit(limit.fit)?.doubt(self.seat(position, part, other))?;
            Some(limit.band(doubt, &self.question.guard).ceil())
        };
        let couples = self.measured.iter().flat_map(|&part| self.usable[1].iter().map(move |&other| (part, other)));
        let mut bands: Vec<f64> = couples.filter_map(own).collect();
        bands.sort_by(f64::total_cmp);
        bands.get(bands.len() / 2).copied().unwrap_or(0.0)
    }
}
