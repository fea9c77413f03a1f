//! All fits of a match at once.

use std::sync::Arc;

use super::clearance::ClearanceFit;
use super::compression::CompressionFit;
use super::deck::DeckFit;
use super::declared::DeclaredSum;
use super::lift::LiftFit;
use super::mass::MassFit;
use super::piston_to_head::PistonToHeadFit;
use super::shift::Shift;
use super::skirt::SkirtFit;
use super::{Cast, Fit};
use crate::job::{FitName, Job};
use crate::plan::Lack;
use crate::reduction::{ChamberReduction, Reduction};

/// Every fit, in the order of [`DeclaredFits::all`](crate::job::DeclaredFits::all): the fit, or everything it lacks.
///
/// `cast` numbers the roles of the seats that will be asked about; `deck` and `chambers` are the
/// job's reduced readings and pours, where it has any.
#[must_use]
pub fn fits<'j>(
    job: &'j Job,
    cast: &Cast,
    deck: Option<&'j Reduction>,
    chambers: Option<&'j ChamberReduction>,
) -> Vec<Result<Box<dyn Fit + 'j>, Lack>> {
    shifted_fits(job, cast, deck, chambers, (Shift::default(), &|_| true))
}

/// The same with a little more of something, those of these names alone.
pub(crate) fn shifted_fits<'j>(
    job: &'j Job,
    cast: &Cast,
    deck: Option<&'j Reduction>,
    chambers: Option<&'j ChamberReduction>,
    (shift, wanted): (Shift, &dyn Fn(FitName) -> bool),
) -> Vec<Result<Box<dyn Fit + 'j>, Lack>> {
    let deck = DeckFit::new(job, cast, deck).map(|deck| Arc::new(deck.shifted(shift)));
    let clearance = ClearanceFit::new(job, cast, deck.as_ref(), chambers, shift);
    job.fits
        .all()
        .filter(|&name| wanted(name))
        .map(|name| -> Result<Box<dyn Fit + 'j>, Lack> {
            Ok(match name {
                FitName::Deck => Box::new(deck.as_deref().map_err(Lack::clone)?.clone()),
                FitName::PistonToHead => Box::new(PistonToHeadFit::new(job, cast, deck.as_ref(), shift)?),
                FitName::ClearanceVolume => Box::new(clearance.clone()?),
                FitName::Compression => Box::new(CompressionFit::new(job, clearance.as_ref())?),
                FitName::Skirt => Box::new(SkirtFit::new(job, cast)?),
                FitName::Lift => Box::new(LiftFit::new(job, cast)?),
                FitName::Mass => Box::new(MassFit::new(job, cast)?),
                // Entries of the ledger are no fits that a job can ask for: they come beside these.
                FitName::Entry(_) => return Err(Lack { fit: name, what: String::new() }),
                FitName::Declared(_) => Box::new(DeclaredSum::new(job, cast, name)?),
            })
        })
        .collect()
}
