//! The engine as its parts stand now.

use super::{AsFound, Gain, Scene};
use crate::plan::{Frame, aim_values, limit_reports, spread};

/// The aim's fit with every part where it stands now; `None` unless every position has a part and
/// all of them can be predicted.
pub(super) fn as_found(scene: &Scene<'_, '_>) -> Option<AsFound> {
    let (frame, parts) = Frame::as_found(scene.question())?;
    let values = aim_values(&frame, &parts);
    if values.len() != parts.len() {
        return None;
    }
    let found = spread(&values);
    let gained = found - scene.plan.summary.spread;
    Some(AsFound {
        setting: frame.setting.clone(),
        seconds: frame.seconds.clone(),
        values,
        spread: found,
        limits: limit_reports(&frame, &parts),
        parts,
        gain: Gain { spread: gained, below_doubt: scene.doubts(gained) },
    })
}
