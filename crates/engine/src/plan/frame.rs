//! A question with everything settled but one part a position.

use nalgebra::DMatrix;

use super::question::Question;
use super::setting::{Setting, pinned_out};
use crate::fit::{Budget, Doubt, Fit, Made, Seat};
use crate::job::{FitName, Stock};
use crate::plan::Estimate;
use crate::reduction::Pair;

/// A question under one setting, with the parts of every other role in their places: what is left is a table of
/// positions and the parts of one role.
#[derive(Debug)]
pub(crate) struct Frame<'q> {
    pub(crate) question: &'q Question<'q>,
    pub(crate) setting: Setting,
    /// The parts of the second role that is chosen a position, in position order; of several roles beside the first,
    /// all those of a position before those of the next. Empty without such a role.
    pub(crate) seconds: Vec<usize>,
    /// The role whose parts vary.
    role: usize,
    /// Every position with all that does not vary.
    seats: Vec<Seat>,
}

/// One fit, seen from a frame.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Framed<'f> {
    fit: &'f dyn Fit,
    frame: &'f Frame<'f>,
}

impl<'q> Frame<'q> {
    /// The frame in which the parts of the first role vary, `seconds` being those of the second in position order.
    pub(crate) fn new(question: &'q Question<'q>, setting: Setting, seconds: Vec<usize>) -> Self {
        let beside = question.beside().len();
        let seat = |position: usize| match beside {
            0 => question.seat(position, &setting, seconds.get(position).copied()),
            _ => question.seat_beside(position, seconds.iter().copied().skip(position * beside).take(beside)),
        };
        let seats = (0..question.positions.len()).map(seat).collect();
        Self { question, setting, seconds, role: question.first_role(), seats }
    }

    /// The engine as its parts stand now: the frame, and the part in every position. `None` unless every position has
    /// one.
    pub(crate) fn as_found(question: &'q Question<'q>) -> Option<(Self, Vec<usize>)> {
        let (setting, seconds) = question.as_found()?;
        let frame = Self::new(question, setting, seconds);
        let at = |position| frame.stock().parts.iter().position(|part| question.stands(part) == Some(position));
        let parts = (0..question.positions.len()).map(at).collect::<Option<_>>()?;
        Some((frame, parts))
    }

    /// The stock whose parts vary.
    pub(crate) fn stock(&self) -> &'q Stock {
        self.question.stocks[self.role]
    }

    /// Everything that meets where the part stands in the position.
    pub(crate) fn seat(&self, pair: Pair) -> Seat {
        let seat = self.seats[pair.position].with(self.role, pair.part);
        self.question.with_mate(seat, pair.part)
    }

    /// The fit called `name`.
    pub(crate) fn fit(&self, name: FitName) -> Option<Framed<'_>> {
        self.question.fit(name).map(|fit| Framed { fit, frame: self })
    }

    /// The fit that the aim is about.
    pub(crate) fn aim_fit(&self) -> Framed<'_> {
        Framed { fit: self.question.aim_fit(), frame: self }
    }

    /// All fits that can be predicted.
    pub(crate) fn fits(&self) -> impl Iterator<Item = Framed<'_>> {
        self.question.fits().map(|fit| Framed { fit, frame: self })
    }

    /// Whether the stock lets the part into the position and no earlier match has taken it.
    pub(crate) fn may_go(&self, pair: Pair) -> bool {
        let excluded = if self.question.beside().is_empty() {
            self.seconds.get(pair.position).is_some_and(|&second| !self.question.may_meet(pair.part, second))
        } else {
            self.seconds.contains(&pair.part)
        };
        !excluded && self.question.may_go(self.role, pair.position, pair.part)
    }

    /// Whether the part may be used at all: a control part may not.
    pub(crate) fn usable(&self, part: usize) -> bool {
        (0..self.question.positions.len()).any(|position| self.question.may_go(self.role, position, part))
    }

    /// Whether `keep` or `bar` excludes the pair.
    pub(crate) fn pinned_out(&self, pair: Pair) -> bool {
        pinned_out(self.question, self.role, pair.position, pair.part)
    }

    /// Pairs, position after position, parts ascending.
    pub(crate) fn pairs(&self) -> impl Iterator<Item = Pair> + use<> {
        let parts = self.stock().parts.len();
        (0..self.question.positions.len()).flat_map(move |position| (0..parts).map(move |part| Pair { position, part }))
    }
}

impl Framed<'_> {
    pub(crate) fn name(&self) -> FitName {
        self.fit.name()
    }

    pub(crate) fn is_about(&self, pair: Pair) -> bool {
        self.fit.is_about(self.frame.seat(pair))
    }

    pub(crate) fn value(&self, pair: Pair) -> Option<i64> {
        self.fit.value(self.frame.seat(pair))
    }

    pub(crate) fn doubt(&self, pair: Pair) -> Option<Doubt> {
        self.fit.doubt(self.frame.seat(pair))
    }

    pub(crate) fn estimate(&self, pair: Pair) -> Option<Estimate> {
        self.fit.estimate(self.frame.seat(pair))
    }

    pub(crate) fn errors(&self, pair: Pair) -> Option<Budget> {
        self.fit.errors(self.frame.seat(pair))
    }

    pub(crate) fn made(&self, pair: Pair) -> Option<Made> {
        self.fit.made(self.frame.seat(pair))
    }

    pub(crate) fn covariance(&self, pairs: &[Pair]) -> DMatrix<f64> {
        let seats: Vec<Seat> = pairs.iter().map(|&pair| self.frame.seat(pair)).collect();
        self.fit.covariance(&seats)
    }
}
