//! What sets the spread, and why neither end can move.

use pairwright_assign::Cause;
use pairwright_proof::Measure;

use super::{Immovable, Scene, SpreadEnds};
use crate::job::Goal;
use crate::plan::{Answer, PlanError, Rank, Tables, aim_values};

/// The positions with the smallest and the largest value, and for each what would stand in the way
/// of bringing it inward while the other end stays; `None` where all values are equal.
pub(super) fn ends(scene: &Scene<'_, '_>) -> Result<Option<SpreadEnds>, PlanError> {
    if scene.question().matching.aim.goal != Goal::Even {
        return Ok(None);
    }
    let values = aim_values(scene.frame(), &scene.chosen.parts);
    let at = |value: Option<&i64>| value.and_then(|value| values.iter().position(|known| known == value));
    let (Some(low), Some(high)) = (at(values.iter().min()), at(values.iter().max())) else { return Ok(None) };
    let (low_value, high_value) = (values[low], values[high]);
    if low_value == high_value {
        return Ok(None);
    }
    Ok(Some(SpreadEnds {
        low,
        low_value,
        high,
        high_value,
        low_immovable: immovable(scene, low_value + 1, high_value)?,
        high_immovable: immovable(scene, low_value, high_value - 1)?,
    }))
}

/// Why no plan has all its values between `low` and `high`.
fn immovable(scene: &Scene<'_, '_>, low: i64, high: i64) -> Result<Immovable, PlanError> {
    if let Some(several) = scene.search.several() {
        return Ok(match several.between(low, high)? {
            Answer::Chosen(_) => Immovable::Outranked,
            Answer::Short(_) => Immovable::Competing { positions: Vec::new(), parts: Vec::new() },
            Answer::Undecided => Immovable::Undecided,
        });
    }
    let mut tables: Tables = scene.tables().clone();
    let aim = &mut tables.of_ticks[0];
    for slot in aim.slots() {
        for item in aim.items() {
            if aim.get(slot, item).is_some_and(|value| value < low || value > high) {
                aim.forbid(slot, item);
            }
        }
    }
    tables.ranks = vec![Rank::least(0, Measure::Spread)];
    tables.before = 0;
    Ok(match tables.answer(&tables.problem()?)? {
        Answer::Chosen(_) => Immovable::Outranked,
        Answer::Short(short) if short.cause == Cause::Pairs => {
            Immovable::Competing { positions: short.positions, parts: short.parts }
        }
        Answer::Short(_) => Immovable::OtherSpread,
        Answer::Undecided => Immovable::Undecided,
    })
}
