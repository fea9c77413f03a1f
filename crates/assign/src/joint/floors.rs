//! Lower bounds of the outer choices, kept from one question for others that allow less.

use super::fields::Field;
use super::ground::Ground;
use super::problem::{JointAim, JointError, JointProblem};
use pairwright_proof::{JointStatement, Scale};

/// What the aim is at least under every outer choice of a problem.
///
/// They hold for every problem that has the same aim and outer choices and allows no more; with them
/// ([`JointProblem::with_floors`]) a search looks only at the outer choices that its level has reached.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JointFloors {
    aim: JointAim,
    /// In the unit of the search; `None` where nothing can be chosen.
    floors: Vec<Option<i128>>,
    /// What the search adds to a value of the aim.
    shift: i128,
}

impl JointFloors {
    /// The floors of a problem whose values follow from items alone ([`Scale::Free`]).
    ///
    /// Costs O(N log N) for the N triples of every outer choice.
    ///
    /// # Errors
    /// [`JointError::Floors`] for another scale, [`JointError::Magnitude`] if the scale gives a value too large to
    /// calculate with.
    pub fn new(problem: &JointProblem<'_>) -> Result<Self, JointError> {
        if !matches!(problem.statement().scale, Scale::Free(_)) {
            return Err(JointError::Floors);
        }
        let (ground, aim) = (Ground::new(problem), problem.aim());
        let floor = |&outer| Ok(Field::new(&ground, aim, outer)?.floor(ground.slots));
        // Values follow from items alone: only totals are counted from elsewhere.
        let lowest = i128::from(JointStatement::LIMIT) * ground.slots as i128;
        let shift = if aim == JointAim::Total { lowest } else { 0 };
        Ok(Self { aim, shift, floors: ground.outers.iter().map(floor).collect::<Result<_, JointError>>()? })
    }

    /// The floors of these outer choices only, in this order; those that there are not are left out.
    #[must_use]
    pub fn of_outers(&self, outers: impl Iterator<Item = usize>) -> Self {
        let floors = outers.filter_map(|outer| self.floors.get(outer).copied());
        Self { aim: self.aim, shift: self.shift, floors: floors.collect() }
    }

    /// Whether anything may be chosen under an outer choice that is worth `value` or less by the aim.
    #[must_use]
    pub fn may_reach(&self, outer: usize, value: i128) -> bool {
        self.get(outer).is_some_and(|floor| floor <= value.saturating_add(self.shift))
    }

    /// Whether nothing can be chosen under any outer choice.
    pub(super) fn get(&self, outer: usize) -> Option<i128> {
        self.floors.get(outer).copied().flatten()
    }

    pub(super) fn suits(&self, problem: &JointProblem<'_>) -> bool {
        let statement = problem.statement();
        let is_free = matches!(statement.scale, Scale::Free(_));
        is_free && self.aim == problem.aim() && self.floors.len() == statement.offsets.len()
    }
}
