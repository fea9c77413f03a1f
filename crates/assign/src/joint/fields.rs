//! One field of triples for every outer choice, the most promising first.

use super::descend::Core;
use super::floors::JointFloors;
use super::ground::Ground;
use super::near::{Costs, Near};
use super::problem::{JointAim, JointError};
use super::sweep::Sweep;
use pairwright_proof::{Choice, Item, JointChoice, Outer};
use std::cell::OnceCell;

/// Triples kept in memory between passes; fields beyond are built anew for every pass.
const KEPT: usize = 1 << 22;

#[derive(Debug)]
pub(super) enum Field {
    Sweep { sweep: Sweep, about_mean: bool },
    Near(Near),
}

impl Field {
    pub(super) fn new(ground: &Ground<'_>, aim: JointAim, outer: Outer) -> Result<Self, JointError> {
        match Costs::of(aim, ground, outer) {
            Some(costs) => Near::new(ground, outer, &costs).map(Self::Near),
            None => Sweep::new(ground, outer)
                .map(|sweep| Self::Sweep { sweep, about_mean: aim == JointAim::SquaresAboutMean }),
        }
    }

    /// No choice has a smaller aim; `None` if there is none at all.
    pub(super) fn floor(&self, slots: usize) -> Option<i128> {
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
    sorted: Vec<(i128, Outer, Kept)>,
}

/// A field between passes.
#[derive(Debug)]
enum Kept {
    /// Built, and kept.
    Whole(Field),
    /// Built when a pass reaches its floor, and kept from then on.
    Later(OnceCell<Field>),
    /// Built anew for every pass.
    Anew,
}

impl<'p> Fields<'p> {
    pub(crate) fn new(ground: &'p Ground<'p>, aim: JointAim) -> Result<Self, JointError> {
        let mut kept = 0;
        let mut fields = Vec::new();
        for &outer in &ground.outers {
            let field = Field::new(ground, aim, outer)?;
            if let Some(floor) = field.floor(ground.slots) {
                kept += ground.size();
                fields.push((floor, outer, if kept <= KEPT { Kept::Whole(field) } else { Kept::Anew }));
            }
        }
        Ok(Self::sorted(ground, aim, fields))
    }

    /// The same with floors that are known already: fields are built when they are first needed.
    pub(crate) fn above(ground: &'p Ground<'p>, aim: JointAim, floors: &JointFloors) -> Self {
        let known = ground.outers.iter().filter_map(|&outer| Some((floors.get(outer.index())?, outer)));
        let mut kept = 0;
        let later = known.map(|(floor, outer)| {
            kept += ground.size();
            (floor, outer, if kept <= KEPT { Kept::Later(OnceCell::new()) } else { Kept::Anew })
        });
        let fields = later.collect();
        Self::sorted(ground, aim, fields)
    }

    fn sorted(ground: &'p Ground<'p>, aim: JointAim, mut fields: Vec<(i128, Outer, Kept)>) -> Self {
        fields.sort_by_key(|&(floor, outer, _)| (floor, outer));
        Self { ground, aim, sorted: fields }
    }

    /// No choice has a smaller aim; `None` if there is no choice.
    pub(crate) fn floor(&self) -> Option<i128> {
        self.sorted.first().map(|&(floor, _, _)| floor)
    }

    /// The outer choices that hold choices as far as is known, the most promising first.
    pub(crate) fn outers(&self) -> impl Iterator<Item = Outer> + '_ {
        self.sorted.iter().map(|&(_, outer, _)| outer)
    }

    /// Choices that were met when the fields were made, as far as those are at hand, each with its field's floor.
    pub(crate) fn met(&self) -> impl Iterator<Item = (i128, JointChoice)> + '_ {
        let met = |(floor, outer, kept): &(i128, Outer, Kept)| {
            let field = match kept {
                Kept::Whole(field) => field,
                Kept::Later(cell) => {
                    if cell.get().is_none() && matches!(self.aim, JointAim::Total | JointAim::SquaresFrom { .. }) {
                        let _ = cell.set(Field::new(self.ground, self.aim, *outer).ok()?);
                    }
                    cell.get()?
                }
                Kept::Anew => return None,
            };
            let Field::Near(Near { met: Some([first, second]), .. }) = field else { return None };
            let kind = |items: &[u32]| Choice::new(items.iter().copied().map(Item::new).collect());
            Some((*floor, JointChoice { outer: *outer, first: kind(first), second: kind(second) }))
        };
        self.sorted.iter().filter_map(met)
    }

    /// Looks through everything that the bar lets through.
    pub(crate) fn pass(&self, core: &mut Core<'_, '_>) -> Result<(), JointError> {
        for (floor, outer, field) in &self.sorted {
            if *floor > core.bar.key.0 || core.is_over() {
                break;
            }
            match field {
                Kept::Whole(field) => field.pass(core),
                Kept::Later(cell) => {
                    if cell.get().is_none() {
                        // Nobody else fills it meanwhile.
                        let _ = cell.set(Field::new(self.ground, self.aim, *outer)?);
                    }
                    cell.get().into_iter().for_each(|field| field.pass(core));
                }
                Kept::Anew => Field::new(self.ground, self.aim, *outer)?.pass(core),
            }
        }
        Ok(())
    }
}
