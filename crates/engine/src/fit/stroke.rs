//! The crank: stroke and throw of every cylinder.

use super::given::{Given, Sizes, of_cylinders, of_engine};
use super::source::Size;
use crate::job::Job;

/// The stroke of every cylinder: twice its throw where one was measured, else the engine's.
#[derive(Clone, Debug)]
pub(super) struct Strokes {
    throws: Sizes,
    common: Option<Given>,
}

/// A stroke as a multiple of what was typed.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stroke<'a> {
    /// The throw, or the stroke.
    pub(super) given: &'a Given,
    /// Stroke over what was typed.
    pub(super) times: f64,
}

impl Strokes {
    pub(super) fn new(job: &Job) -> Option<Self> {
        let throws = of_cylinders(job, Size::Throw, "throw", None);
        let common = of_engine(job, Size::Stroke, "stroke", job.engine.stroke);
        (common.is_some() || !throws.is_empty()).then_some(Self { throws, common })
    }

    pub(super) fn at(&self, position: usize) -> Option<Stroke<'_>> {
        let throw = self.throws.at(position).map(|given| Stroke { given, times: 2.0 });
        throw.or(self.common.as_ref().map(|given| Stroke { given, times: 1.0 }))
    }
}

impl Stroke<'_> {
    /// The stroke in nm.
    pub(super) fn value(&self) -> f64 {
        self.times * self.given.value
    }
}
