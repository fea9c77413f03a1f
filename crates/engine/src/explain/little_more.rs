//! What a little more of gasket, of deck clearance, of chamber would do to the plan as it stands.

use super::{LittleMore, Lost, More, Scene};
use crate::fit::{Fit, Seat, Shift};
use crate::job::{CYLINDER, FitName};
use crate::limit::Limit;
use crate::plan::{LimitKind, mean, pairs, spread};
use crate::quantity::{Dimension, Unit};

/// A thousandth of an inch, where the job counts in inches.
const THOU: i64 = 25_400;
/// A hundredth of a millimetre, where it counts in millimetres.
const HUNDREDTH: i64 = 10_000;
/// A tenth of a cubic centimetre.
const TENTH_CC: i64 = 100_000;

/// For each of them the change of the aim's fit, and what the tightest clearance that follows any of them gains or
/// loses: by evaluating the plan's own parts anew, nothing else chosen. Empty where nothing of the match follows any.
pub(super) fn little_more(scene: &Scene<'_, '_>) -> Vec<LittleMore> {
    let question = scene.question();
    let is_clearance = |limit: &Limit| question.job.fits.dimension(limit.fit) == Dimension::Length;
    // A piston that stands higher stands higher: there is nothing to learn from it.
    let is_plain = question.matching.aim.fit == FitName::Deck && !question.limits.iter().any(is_clearance);
    if question.positions.kind != CYLINDER || is_plain {
        return Vec::new();
    }
    let length = if matches!(question.job.units, Unit::Inch | Unit::Thou) { THOU } else { HUNDREDTH };
    let frame = scene.frame();
    let seats: Vec<Seat> = pairs(&scene.chosen.parts).into_iter().map(|pair| frame.seat(pair)).collect();
    let asked = [
        (More::Gasket, length, Shift { gasket: length, ..Shift::default() }),
        (More::Deck, length, Shift { deck: length, ..Shift::default() }),
        (More::Chamber, TENTH_CC, Shift { chamber: TENTH_CC, ..Shift::default() }),
    ];
    let before = Evaluated::of(scene, &seats, Shift::default());
    let after = asked.map(|(of, by, shift)| (of, by, Evaluated::of(scene, &seats, shift)));
    let moves = |at: usize| after.iter().any(|(_, _, after)| after.rooms[at] != before.rooms[at]);
    let tightest = (0..before.rooms.len())
        .filter(|&at| moves(at) && is_clearance(&question.limits[at]))
        .filter_map(|at| Some((before.rooms[at]?, at)))
        .min();
    if tightest.is_none() && question.matching.aim.fit == FitName::Deck {
        return Vec::new();
    }
    let all = after.into_iter().filter(|(_, _, after)| *after != before);
    all.map(|(of, by, after)| LittleMore {
        of,
        by,
        mean: mean(&after.aim) - mean(&before.aim),
        spread: spread(&after.aim) - spread(&before.aim),
        tightest: tightest.and_then(|(room, at)| {
            let Limit { fit, kind, .. } = question.limits[at];
            Some(Lost { fit, kind, room, gains: after.rooms[at]? - room })
        }),
    })
    .collect()
}

/// What a plan comes to.
#[derive(PartialEq, Eq)]
struct Evaluated {
    /// The aim's fit at every position.
    aim: Vec<i64>,
    /// For every limit on single positions the least room, guard band taken off.
    rooms: Vec<Option<i64>>,
}

impl Evaluated {
    fn of(scene: &Scene<'_, '_>, seats: &[Seat], shift: Shift) -> Self {
        let question = scene.question();
        let fits = question.shifted(shift);
        let named = |name: FitName| fits.iter().find(|fit| fit.name() == name).map(AsRef::as_ref);
        let aim = named(question.matching.aim.fit);
        let room = |limit: &Limit| {
            let fit = named(limit.fit).filter(|_| matches!(limit.kind, LimitKind::Side(_)))?;
            seats.iter().enumerate().filter_map(|(at, &seat)| room(scene, limit, fit, (at, seat))).min()
        };
        Self {
            aim: seats.iter().filter_map(|&seat| aim?.value(seat)).collect(),
            rooms: question.limits.iter().map(room).collect(),
        }
    }
}

/// From a value to its limit, less the guard band, in whole ticks.
#[expect(clippy::cast_possible_truncation, reason = "bands are below a metre: far inside i64")]
fn room(scene: &Scene<'_, '_>, limit: &Limit, fit: &dyn Fit, (at, seat): (usize, Seat)) -> Option<i64> {
    let margin = limit.margin(at, fit.value(seat)?)?;
    Some(margin - limit.band(fit.doubt(seat)?, &scene.question().guard).ceil() as i64)
}
