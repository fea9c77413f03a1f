//! The pile of parts that a match of a job chooses from.

use std::rc::Rc;

use super::affine::Affine;
use super::buying::Bought;
use super::learned::{Beside, Guard, Learned, numbers_of};
use super::lines::{Columns, Unexplained};
use super::of_bundles::pile_of_bundles;
use super::of_couples::pile_of_couples;
use super::{Numbers, Pile, PileError, Population, Sought};
use crate::job::{Bounding, FitName, Job};
use crate::limit::Limit;
use crate::plan::{Asked, Frame, Lack, Layout, LimitKind, PlanError, Question, Relaxed, Search, Taken};
use crate::readings::PositionId;
use crate::reduction::{Pair, Reductions};

/// What is gathered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Gathered<'k> {
    /// Which kind grows, where the match places two in every position.
    pub kind: Option<&'k str>,
    /// What a further part costs where it is used, in ticks of money; `None`: nothing, and it is no piece that is bought.
    pub price: Option<i64>,
}

/// What a match makes of a pile.
#[derive(Debug)]
pub enum MatchPile {
    /// It can be asked about.
    Ready(Box<PileOfMatch>),
    /// It cannot, and why.
    NotReady(NotReady),
}

/// The pile of a match.
#[derive(Debug)]
pub struct PileOfMatch {
    /// The kind of the parts.
    pub kind: String,
    /// The aim's fit: what all values are ticks of.
    pub fit: FitName,
    /// The fit whose value at one position each of a part's numbers is, in the order of the numbers.
    pub numbers: Vec<FitName>,
    /// How many parts were measured; those that the match cannot use (any more) tell what further ones are like, too.
    pub measured: usize,
    /// How many of the parts to choose from are pieces of stated sizes that nobody measured.
    pub stated: usize,
    /// The pile.
    pub pile: Pile<Learned>,
}

/// Why a match has no pile to ask about.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum NotReady {
    /// The match itself lacks something.
    Missing(Vec<Lack>),
    /// It places two kinds a position, these, and it was not said which of them grows.
    WhichKind([String; 2]),
    /// It places no kind of that name in every position, but this one.
    OtherKind(String),
    /// It places two kinds a position, some of whose parts may only meet certain parts of the other kind.
    Bound,
    /// What the parts of a position make of this fit together is no sum of what each of them adds.
    NoSum(FitName),
    /// The parts of a position can be put together in too many ways to keep what each is worth.
    TooManyBundles,
    /// It places nothing a position.
    NothingAPosition,
    /// There are several ways to set heads and gaskets, and none of them gives a plan yet.
    NoPlanYet,
    /// Some parts have no value of this fit where others have one: the readings do not tie them together, or a cell is blank.
    Untied(FitName),
    /// The parts enter this fit by more numbers than its value at one position tells.
    MoreNumbers(FitName),
}

/// The pile of the match at `index`, `earlier` being the parts that matches before it took.
///
/// Every fit that the match asks about is taken apart into a number for each part and what each position makes of it, from the values of the parts
/// there are; a fit that follows from the numbers of others (piston to head from deck) adds none. Heads and gaskets are those of the present plan.
/// What counts before the aim, and what may be spent, count as in the match. Criteria after the aim, and an aim's slack, do not count here. Limits on a spread and on neighbours are held with their widest guard band.
///
/// # Errors
/// [`PileError`] where the stock says nothing of further parts, and for a job larger than the solver takes.
pub fn pile_of_match(job: &Job, index: usize, earlier: &Taken, gathered: Gathered<'_>) -> Result<MatchPile, PileError> {
    if index >= job.matches.len() {
        return Err(PileError::NoMatch { index });
    }
    let reductions = Reductions::new(job).map_err(PlanError::from)?;
    let question = match Question::new(job, index, &reductions, earlier) {
        Ok(question) => question,
        Err(lacks) => return Ok(MatchPile::NotReady(NotReady::Missing(lacks))),
    };
    if let Some(why) = refusal(&question, gathered.kind) {
        return Ok(MatchPile::NotReady(why));
    }
    if !question.beside().is_empty() {
        return pile_of_bundles(&question, gathered);
    }
    if let Some(second) = question.second_role() {
        return pile_of_couples(&question, second, gathered);
    }
    let search = Search::new(&question, Relaxed::default())?;
    let Some(layout) = present(&search)? else { return Ok(MatchPile::NotReady(NotReady::NoPlanYet)) };
    match Laid::new(&layout) {
        Ok(laid) => laid.pile(gathered),
        Err(why) => Ok(MatchPile::NotReady(why)),
    }
}

fn refusal(question: &Question<'_>, kind: Option<&str>) -> Option<NotReady> {
    let role = question.first_role();
    if role >= question.matching.place.len() {
        return Some(NotReady::NothingAPosition);
    }
    let own = &question.stocks[role].kind;
    let is_other = question.second_role().is_none() && kind.is_some_and(|kind| kind != own);
    is_other.then(|| NotReady::OtherKind(own.clone()))
}

/// The only layout, or that of the plan.
fn present<'q>(search: &Search<'q>) -> Result<Option<Rc<Layout<'q>>>, PileError> {
    if let [only] = search.layouts() {
        return Ok(Some(Rc::clone(only)));
    }
    let Some(chosen) = search.best(Asked::default())?.chosen() else { return Ok(None) };
    Ok(search.layouts().get(chosen.setting).map(Rc::clone))
}

/// A layout with the numbers of its parts.
struct Laid<'l> {
    layout: &'l Layout<'l>,
    /// Parts whose numbers are known.
    measured: Vec<usize>,
    columns: Columns,
    /// The fit that each number is a value of.
    numbers: Vec<FitName>,
    lines: Vec<(FitName, Vec<Option<Affine>>)>,
}

impl<'l> Laid<'l> {
    fn new(layout: &'l Layout<'l>) -> Result<Self, NotReady> {
        let frame = &layout.frame;
        let asked = asked(frame);
        let parts = 0..frame.stock().parts.len();
        let everywhere =
            |part: usize, name: &FitName| positions(frame).any(|at| value(frame, *name, at, part).is_some());
        let measured = parts.filter(|&part| asked.iter().all(|name| everywhere(part, name))).collect();
        let mut laid = Self { layout, measured, columns: Columns::default(), numbers: Vec::new(), lines: Vec::new() };
        for name in asked {
            let row = |at: usize| laid.measured.iter().map(|&part| value(frame, name, at, part)).collect();
            let values: Vec<Vec<Option<f64>>> = positions(frame).map(row).collect();
            let lines = laid.columns.learn(&values).map_err(|why| match why {
                Unexplained::NoCommonPosition => NotReady::Untied(name),
                Unexplained::MoreNumbers => NotReady::MoreNumbers(name),
            })?;
            laid.numbers.resize(laid.columns.0.len(), name);
            laid.lines.push((name, lines));
        }
        Ok(laid)
    }

    fn pile(self, gathered: Gathered<'_>) -> Result<MatchPile, PileError> {
        let frame = &self.layout.frame;
        let all: Vec<usize> = (0..self.measured.len()).collect();
        let usable: Vec<usize> = all.iter().copied().filter(|&at| self.is_usable(self.measured[at])).collect();
        // What a maker says of a size tells nothing of what a further measured part would be like.
        let is_measured = |at: &usize| !frame.stock().parts[self.measured[*at]].is_type();
        let all: Vec<usize> = all.into_iter().filter(is_measured).collect();
        let stock: Vec<usize> = usable.iter().map(|&at| self.measured[at]).collect();
        let population = Population::of(&self.numbers_of(&all))?;
        let learned = self.learned(&stock, gathered);
        let matching = frame.question.matching;
        let pile = Pile::among(learned, self.numbers_of(&usable), population, Sought::of(&matching.aim))?;
        Ok(MatchPile::Ready(Box::new(PileOfMatch {
            kind: frame.stock().kind.clone(),
            fit: matching.aim.fit,
            measured: all.len(),
            stated: stock.iter().filter(|&&part| frame.stock().parts[part].is_type()).count(),
            numbers: self.numbers,
            pile,
        })))
    }

    fn numbers_of(&self, which: &[usize]) -> Numbers {
        numbers_of(&self.columns.0, which)
    }

    fn is_usable(&self, part: usize) -> bool {
        let frame = &self.layout.frame;
        positions(frame).any(|position| frame.admitted(Pair { position, part }, Relaxed::default()).is_some())
    }

    fn learned(&self, stock: &[usize], gathered: Gathered<'_>) -> Learned {
        let frame = &self.layout.frame;
        let admitted = |position, part| frame.admitted(Pair { position, part }, Relaxed::default());
        let tables = &self.layout.tables;
        let (widths, apart) = (&tables.widths, &tables.apart);
        let id = |position: usize| PositionId::new(u32::try_from(position).unwrap_or(u32::MAX));
        let beside = |limit: usize| {
            let name = frame.question.limits[limit].fit;
            let known = |position, part| frame.fit(name).and_then(|fit| fit.value(Pair { position, part }));
            Beside { stock: cells(frame, stock, known), by_numbers: self.lines_of(name) }
        };
        let closed = |position| frame.pinned_out(Pair { position, part: usize::MAX });
        let aim = self.lines_of(frame.question.matching.aim.fit).into_iter().enumerate();
        Learned {
            positions: frame.question.positions.len(),
            stock: cells(frame, stock, admitted),
            parts: stock.len(),
            aim: aim.map(|(position, line)| line.filter(|_| !closed(position))).collect(),
            guards: frame.question.limits.iter().flat_map(|limit| self.guards(limit)).collect(),
            beside: widths.iter().chain(apart).map(|width| beside(width.limit)).collect(),
            widths: widths.iter().map(|width| width.ticks).collect(),
            apart: apart.iter().map(|width| width.ticks).collect(),
            neighbours: tables.next_to.iter().map(|&(one, other)| (id(one), id(other))).collect(),
            bought: Bought::of(frame.question, &frame.setting, (frame.question.first_role(), stock), gathered.price),
            together: None,
            couples: None,
        }
    }

    fn lines_of(&self, name: FitName) -> Vec<Option<Affine>> {
        self.lines.iter().find(|(known, _)| *known == name).map(|(_, lines)| lines.clone()).unwrap_or_default()
    }

    /// A limit on single positions as further parts meet it.
    fn guards(&self, limit: &Limit) -> Vec<Guard> {
        let LimitKind::Side(side) = limit.kind else { return Vec::new() };
        let lines = self.lines_of(limit.fit).into_iter().enumerate();
        let guard = |(position, line): (usize, Option<Affine>)| {
            let bound = limit.bound(position)? as f64;
            let band = self.band(limit, position);
            let (low, high) = match side {
                Bounding::Min => (bound + band, f64::INFINITY),
                Bounding::Max => (f64::NEG_INFINITY, bound - band),
            };
            Some(Guard { position, value: line?, low, high })
        };
        lines.filter_map(guard).collect()
    }

    /// The guard band of a part in the middle of the stock, in whole ticks.
    fn band(&self, limit: &Limit, position: usize) -> f64 {
        let frame = &self.layout.frame;
        let own = |&part: &usize| {
            let doubt = frame.fit(limit.fit)?.doubt(Pair { position, part })?;
            Some(limit.band(doubt, &frame.question.guard).ceil())
        };
        let mut bands: Vec<f64> = self.measured.iter().filter_map(own).collect();
        bands.sort_by(f64::total_cmp);
        bands.get(bands.len() / 2).copied().unwrap_or(0.0)
    }
}

/// The aim's fit, then those of the limits, each once.
fn asked(frame: &Frame<'_>) -> Vec<FitName> {
    let mut asked = vec![frame.question.matching.aim.fit];
    for limit in &frame.question.limits {
        if !asked.contains(&limit.fit) {
            asked.push(limit.fit);
        }
    }
    asked
}

fn positions(frame: &Frame<'_>) -> std::ops::Range<usize> {
    0..frame.question.positions.len()
}

fn value(frame: &Frame<'_>, name: FitName, position: usize, part: usize) -> Option<f64> {
    frame.fit(name)?.value(Pair { position, part }).map(|ticks| ticks as f64)
}

fn cells(frame: &Frame<'_>, stock: &[usize], value: impl Fn(usize, usize) -> Option<i64>) -> Vec<Option<i64>> {
    positions(frame)
        .flat_map(|position| stock.iter().map(move |&part| (position, part)))
        .map(|(position, part)| value(position, part))
        .collect()
}
