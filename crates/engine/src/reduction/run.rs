//! The reduction of one job's readings.

use nalgebra::DMatrix;

use super::observe::{decks, gauge, left_out, observations, part_id, position_id};
use super::rods::Rods;
use super::{Pair, ReadingsReport};
use crate::fit::Doubt;
use crate::job::{DeckReadings, Job};
use crate::readings::{Effects, PartId, ReduceError, Response, reduce};

/// Effects of the pistons and cylinders of a job, in whole ticks, and what the readings say about
/// themselves.
#[derive(Clone, Debug)]
pub struct Reduction {
    effects: Effects,
    pistons: Vec<Option<Effect>>,
    cylinders: Vec<Option<Effect>>,
    rods: Rods,
    /// What the length of a rod does to the effects, for those that readings were corrected by.
    by_rod: Vec<(usize, Response)>,
    report: ReadingsReport,
}

/// An effect in whole nanometres and the component of tied readings it belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Effect {
    ticks: i64,
    component: usize,
}

impl Reduction {
    /// Reduces the job's deck readings; lines in `excluded` are left out as if the user had done so.
    ///
    /// # Errors
    /// [`ReduceError::IllConditioned`] when numbers of repeats differ beyond what floats can solve;
    /// a job whose indices are sound gives no other.
    pub fn new(job: &Job, deck: &DeckReadings, excluded: &[u32]) -> Result<Self, ReduceError> {
        let count = |positions: Option<usize>| positions.unwrap_or(0);
        let parts = count(job.stock("piston").map(|stock| stock.parts.len()));
        let positions = count(job.positions("cylinder").map(crate::job::Positions::len));
        let rods = Rods::new(deck, parts, |row| !left_out(row, excluded));
        let readings = observations(job, deck, &rods, excluded);
        let (gauge, from_decimals) = gauge(deck);
        let effects = reduce(parts, positions, &readings, &gauge, &decks(job))?;
        let pistons = (0..parts).map(|part| piston(&effects, part)).collect();
        let cylinders = (0..positions).map(|position| cylinder(&effects, position)).collect();
        let idle = |part: PartId| {
            let piston = job.stock("piston").and_then(|stock| stock.parts.get(part.index()));
            piston.is_some_and(|piston| piston.fits.as_ref().is_some_and(Vec::is_empty))
        };
        let resolution = (gauge.resolution.unwrap_or(0.0), from_decimals);
        let report = ReadingsReport::new(&effects, &readings, resolution, idle);
        let by_rod = rods.corrections(job, deck).into_iter();
        let by_rod = by_rod.map(|(rod, change)| Ok((rod, effects.response(&readings, |at| change[at])?)));
        let by_rod = by_rod.collect::<Result<_, ReduceError>>()?;
        Ok(Self { effects, pistons, cylinders, rods, by_rod, report })
    }

    /// Predicted deck clearance in ticks, on the rod that [`Reduction::read_on`] names: the piston's
    /// effect plus the cylinder's, each a whole number, so that a difference between pistons is the
    /// same in every cylinder. `None` where no readings tie the two together.
    #[must_use]
    pub fn value(&self, pair: Pair) -> Option<i64> {
        self.shares(pair).map(|[piston, cylinder]| piston + cylinder)
    }

    /// What the part and what the position adds to that, in ticks.
    #[must_use]
    pub fn shares(&self, pair: Pair) -> Option<[i64; 2]> {
        let piston = self.pistons.get(pair.part).copied()??;
        let cylinder = self.cylinders.get(pair.position).copied()??;
        (piston.component == cylinder.component).then_some([piston.ticks, cylinder.ticks])
    }

    /// The effect of a cylinder in ticks, and the component of tied readings it belongs to: effects of one component
    /// may be compared with each other.
    #[must_use]
    pub fn cylinder(&self, position: usize) -> Option<(i64, usize)> {
        let effect = self.cylinders.get(position).copied()??;
        Some((effect.ticks, effect.component))
    }

    /// How well the predicted deck clearance is known.
    #[must_use]
    pub fn doubt(&self, pair: Pair) -> Option<Doubt> {
        let prediction = self.effects.predict(part_id(pair.part), position_id(pair.position))?;
        Some(Doubt { u: prediction.u, dof: prediction.dof, from_line: prediction.from_line })
    }

    /// How well a sum of multiples of predicted deck clearances is known: much better than its terms, where they share
    /// readings. `None` where one of them cannot be predicted.
    #[must_use]
    pub fn doubt_of_sum(&self, terms: &[(Pair, f64)]) -> Option<Doubt> {
        let id = |pair: &Pair| (part_id(pair.part), position_id(pair.position));
        let terms: Vec<_> = terms.iter().map(|(pair, by)| (*by, id(pair))).collect();
        let (u, dof, from_line) = self.effects.sum(&terms)?;
        Some(Doubt { u, dof, from_line })
    }

    /// Joint covariance of predicted deck clearances, in nm²; zeros where a pair cannot be predicted.
    #[must_use]
    pub fn covariance(&self, pairs: &[Pair]) -> DMatrix<f64> {
        let ids: Vec<_> = pairs.iter().map(|pair| (part_id(pair.part), position_id(pair.position))).collect();
        self.effects.covariance(&ids).unwrap_or_else(|| DMatrix::zeros(pairs.len(), pairs.len()))
    }

    /// The rod that what is predicted for a piston refers to: that of its first reading in use, the
    /// control rod where the reading names none. `None` where nothing says it.
    #[must_use]
    pub fn read_on(&self, piston: usize) -> Option<usize> {
        self.rods.read_on(piston)
    }

    /// By how much the predicted deck clearance of a pair changes with the length of a rod that some of
    /// the readings were corrected by, rod after rod: empty where every piston was read on one rod only.
    pub fn by_rod(&self, pair: Pair) -> impl Iterator<Item = (usize, f64)> {
        let pair = (part_id(pair.part), position_id(pair.position));
        self.by_rod.iter().map(move |(rod, response)| (*rod, response.of(pair)))
    }

    /// The rod that readings were taken on where their row names none, as stated by the job.
    #[must_use]
    pub fn control_rod(&self) -> Option<usize> {
        self.rods.control()
    }

    /// Whether the rod of any reading is known.
    #[must_use]
    pub fn knows_rods(&self) -> bool {
        self.rods.known()
    }

    /// What the readings say about themselves.
    #[must_use]
    pub fn report(&self) -> &ReadingsReport {
        &self.report
    }

    /// What the readings say about themselves, given away.
    #[must_use]
    pub fn into_report(self) -> ReadingsReport {
        self.report
    }
}

fn piston(effects: &Effects, part: usize) -> Option<Effect> {
    let id = part_id(part);
    let component = effects.component_of_part(id)?.index();
    Some(Effect { ticks: whole(effects.part_effect(id)?), component })
}

fn cylinder(effects: &Effects, position: usize) -> Option<Effect> {
    let id = position_id(position);
    let component = effects.component_of_position(id)?.index();
    Some(Effect { ticks: whole(effects.position_effect(id)?), component })
}

#[expect(clippy::cast_possible_truncation, reason = "readings are below a metre: far inside i64")]
fn whole(nanometres: f64) -> i64 {
    nanometres.round_ties_even() as i64
}
