//! A changed job, whose readings stay those of the job they were taken in.

use crate::fit::{Movers, Shift};
use crate::job::Job;
use crate::job::{EntryId, Ledger, Since};
use crate::reduction::Reductions;

/// The ledger of `changed` with its readings taken in `original`: every entry notes by how much the deck clearance, the
/// gasket and the lift of the parts that it was read with differ between the two, so that a deck that was cut, a piston
/// that was cut or another gasket thickness comes off what is left of it.
///
/// Both jobs have the same parts and places at the same indices. An entry of which the change cannot be told is marked
/// to be measured again, as is one that was so before.
///
/// # Examples
/// A job that was not changed has nothing to note:
/// ```
/// # use pairwright_engine::{clearance::as_read_in, job::Job, reduction::Reductions};
/// # fn same(job: &Job, reductions: &Reductions) {
/// assert_eq!(as_read_in((job, reductions), (job, reductions)), job.ledger);
/// # }
/// ```
#[must_use]
pub fn as_read_in(original: (&Job, &Reductions), changed: (&Job, &Reductions)) -> Ledger {
    let movers = |(job, reductions)| {
        let (job, reductions): (&Job, &Reductions) = (job, reductions);
        (job, reductions.deck.as_ref())
    };
    let ((before, deck_before), (after, deck_after)) = (movers(original), movers(changed));
    let (then, now) =
        (Movers::new(before, deck_before, Shift::default()), Movers::new(after, deck_after, Shift::default()));
    let mut ledger = after.ledger.clone();
    for (at, entry) in (0..).zip(&mut ledger.entries) {
        let id = EntryId::new(at);
        let Some(known) = before.ledger.get(id) else { continue };
        let since = then.read(known).zip(now.read(entry));
        match since {
            Some((then, now)) => {
                entry.since = Since {
                    deck: known.since.deck + now.deck - then.deck,
                    gasket: known.since.gasket + now.gasket - then.gasket,
                    lift: known.since.lift + now.lift - then.lift,
                }
            }
            None => entry.measure_again = true,
        }
    }
    ledger
}
