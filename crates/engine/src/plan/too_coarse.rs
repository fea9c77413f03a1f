//! Limits that the readings are too coarse to decide.

use super::frame::{Frame, Framed};
use crate::job::{Bounding, FitName};
use crate::limit::band;
use crate::plan::{LimitKind, TooCoarse};
use crate::reduction::Pair;

/// Every fit and position whose minimum and maximum are closer together than the two guard bands
/// of even the best known part.
pub(crate) fn too_coarse(frame: &Frame<'_>) -> Vec<TooCoarse> {
    let mut found = Vec::new();
    for fit in frame.fits() {
        for position in 0..frame.question.positions.len() {
            let Some(room) = room(frame, fit.name(), position) else { continue };
            let Some(bands) = narrowest_bands(frame, fit, position) else { continue };
            if (room as f64) < bands {
                let repeats = repeats(frame, fit.name(), room as f64, bands);
                found.push(TooCoarse { fit: fit.name(), position, room, bands, repeats });
            }
        }
    }
    found
}

/// Room between the guarded minimum and maximum at a position, in ticks.
fn room(frame: &Frame<'_>, fit: FitName, position: usize) -> Option<i64> {
    let bound = |side| {
        let bounds = frame
            .question
            .limits
            .iter()
            .filter(move |limit| limit.fit == fit && limit.guard && limit.kind == LimitKind::Side(side))
            .filter_map(|limit| limit.bound(position));
        bounds.reduce(|a, b| if side == Bounding::Min { a.max(b) } else { a.min(b) })
    };
    Some(bound(Bounding::Max)? - bound(Bounding::Min)?)
}

fn narrowest_bands(frame: &Frame<'_>, fit: Framed<'_>, position: usize) -> Option<f64> {
    (0..frame.stock().parts.len())
        .map(|part| Pair { position, part })
        .filter(|&pair| frame.may_go(pair))
        .filter_map(|pair| Some(2.0 * band(fit.doubt(pair)?, &frame.question.guard)))
        .reduce(f64::min)
}

/// How many times as many readings would bring the bands inside the room: a band shrinks with the
/// root of the repeats, down to what the gauge's resolution leaves.
fn repeats(frame: &Frame<'_>, fit: FitName, room: f64, bands: f64) -> Option<u32> {
    if fit != FitName::Deck || room <= 0.0 {
        return None;
    }
    let reduction = frame.question.reductions.deck.as_ref()?;
    let report = reduction.report();
    let floor = report.resolution / 12_f64.sqrt();
    let times = (bands / room).powi(2).ceil();
    let reached = report.repeatability.s / times.sqrt();
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "bounded by the check before it")]
    let times_whole = (times < 1_000.0).then_some(times as u32);
    times_whole.filter(|_| reached >= floor)
}
