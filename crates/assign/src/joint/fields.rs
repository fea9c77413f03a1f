//! One field of triples for every outer choice, the most promising first.

use super::descend::Core;
use super::ground::Ground;
use super::near::{Costs, Near};
use super::problem::{JointAim, JointError};
use super::sweep::Sweep;
use pairwright_proof::Outer;

/// Triples kept in memory between passes; fields beyond are built anew for every pass.
const KEPT: usize = 1 << 22;

#[derive(Debug)]
enum Field {
    Sweep { sweep: Sweep, about_mean: bool },
    Near(Near),
}

impl Field {
    fn new(ground: &Ground<'_>, aim: JointAim, outer: Outer) -> Result<Self, JointError> {
        match Costs::of(aim, ground, outer) {
            Some(costs) => Near::new(ground, outer, &costs).map(Self::Near),
            None => Sweep::new(ground, outer)
                .map(|sweep| Self::Sweep { sweep, about_mean: aim == JointAim::SquaresAboutMean }),
        }
    }

    /// No choice has a smaller aim; `None` if there is none at all.
    fn floor(&self, slots: usize) -> Option<i128> {
        match self {
            Self::Near(near) => near.floor,
            Self::Sweep { sweep, about_mean } => {
                let narrowest = (sweep.narrowest != i64::MAX).then_some(i128::from(sweep.narrowest))?;
                // Of squares about the mean two values s apart make at least n·s²/2.
                Some(if *about_mean { slots as i128 * narrowest * narrowest / 2 } else { narrowest })
            }
        }
    }

    fn pass(&self, core: &mut Core<'_, '_>) {
        match self {
            Self::Near(near) => near.pass(core),
            Self::Sweep { sweep, about_mean } => sweep.pass(core, *about_mean),
        }
    }
}

#[derive(Debug)]
pub(crate) struct Fields<'p> {
    ground: &'p Ground<'p>,
    aim: JointAim,
    /// Ascending by floor.
    sorted: Vec<(i128, Outer, Option<Field>)>,
}

impl<'p> Fields<'p> {
    pub(crate) fn new(ground: &'p Ground<'p>, aim: JointAim) -> Result<Self, JointError> {
        let mut kept = 0;
        let mut fields = Vec::new();
        for &outer in &ground.outers {
            let field = Field::new(ground, aim, outer)?;
            if let Some(floor) = field.floor(ground.slots) {
                kept += ground.size();
                fields.push((floor, outer, (kept <= KEPT).then_some(field)));
            }
        }
        fields.sort_by_key(|&(floor, outer, _)| (floor, outer));
        Ok(Self { ground, aim, sorted: fields })
    }

    /// No choice has a smaller aim; `None` if there is no choice.
    pub(crate) fn floor(&self) -> Option<i128> {
        self.sorted.first().map(|&(floor, _, _)| floor)
    }

    /// The outer choices that hold choices as far as is known, the most promising first.
    pub(crate) fn outers(&self) -> impl Iterator<Item = Outer> + '_ {
        self.sorted.iter().map(|&(_, outer, _)| outer)
    }

    /// Looks through everything that the bar lets through.
    pub(crate) fn pass(&self, core: &mut Core<'_, '_>) -> Result<(), JointError> {
        for (floor, outer, field) in &self.sorted {
            if *floor > core.bar.key.0 || core.is_over() {
                break;
            }
            match field {
                Some(field) => field.pass(core),
                None => Field::new(self.ground, self.aim, *outer)?.pass(core),
            }
        }
        Ok(())
    }
}
