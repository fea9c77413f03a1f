//! Readings, plan and explanation of every match, in order.

use pairwright_assign::Reason;

use super::cautions::cautions;
use super::{JobReport, MatchReport, Outcome, Planned};
use crate::explain::explain;
use crate::job::Job;
use crate::plan::{
    Answer, Impossible, LimitState, PlanError, Question, Relaxed, Standing, Stopped, Tables, impossible, plan,
};
use crate::reduction::Reduction;

/// Plans and explains the matches of a job in order, each part used once over the job; `only` picks
/// one of them by name.
///
/// # Errors
/// [`PlanError`] for what is never the user's doing: a job larger than the solver takes, or an
/// answer that the independent checker refuses.
pub fn match_job(job: &Job, only: Option<&str>) -> Result<JobReport, PlanError> {
    let reduction = job.deck.as_ref().map(|deck| Reduction::new(job, deck, &[])).transpose()?;
    let mut taken = Vec::new();
    let mut matches = Vec::new();
    for (index, matching) in job.matches.iter().enumerate() {
        if only.is_none_or(|name| name == matching.name) {
            let outcome = match_one(job, index, reduction.as_ref(), &taken)?;
            if let Outcome::Planned(planned) = &outcome {
                taken.extend(planned.plan.placements.iter().flat_map(|placement| placement.parts.iter().copied()));
            }
            matches.push(MatchReport { index, outcome });
        }
    }
    let readings = reduction.map(Reduction::into_report);
    Ok(JobReport { readings, cautions: cautions(job, &matches), matches })
}

fn match_one(job: &Job, index: usize, reduction: Option<&Reduction>, taken: &[usize]) -> Result<Outcome, PlanError> {
    let question = match Question::new(job, index, reduction, taken) {
        Ok(question) => question,
        Err(lacks) => return Ok(Outcome::Missing(lacks)),
    };
    let (tables, exact) = guarded_tables(&question)?;
    let chosen = match tables.answer(&tables.problem()?)? {
        Answer::Chosen(chosen) => chosen,
        Answer::Short(short) => {
            let why = Impossible { by_widest_band: !exact, ..impossible(&question, &short)? };
            return Ok(Outcome::Impossible(Box::new(why)));
        }
    };
    let plan = plan(&question, &chosen.parts);
    let explanation = explain(&question, &tables, &chosen, &plan)?;
    let certificate = tables.certificate(&chosen)?;
    let checked = tables.check(&certificate)?;
    let standing = match chosen.stopped {
        None if !exact => Standing::BestFound { reason: Stopped::WidestBand },
        None if checked.levels == 0 => Standing::BestFound { reason: Stopped::NoProof },
        None => Standing::Proven { levels: checked.levels, of: checked.of },
        Some(Reason::EffortSpent) => Standing::BestFound { reason: Stopped::EffortSpent },
        Some(_) => Standing::BestFound { reason: Stopped::Otherwise },
    };
    Ok(Outcome::Planned(Box::new(Planned { standing, plan, certificate, explanation })))
}

/// The tables to choose from, and whether the best choice from them is the best of all.
///
/// A limit on a spread has the guard band of the two placements at the ends, which are not known
/// before the choice. Where bands differ, the choice is first made with the narrowest of them, which
/// excludes nothing that could hold the limit: if that plan holds it by its own band, it is the best
/// of all. Else the widest band makes every plan hold it, at the price of some that would, too.
pub(super) fn guarded_tables(question: &Question<'_>) -> Result<(Tables, bool), PlanError> {
    let tables = Tables::settled(question, Relaxed::default())?;
    if !tables.uneven {
        return Ok((tables, true));
    }
    let wider = Tables::settled(question, Relaxed { by_narrowest: true, ..Relaxed::default() })?;
    let Answer::Chosen(chosen) = wider.answer(&wider.problem()?)? else { return Ok((wider, true)) };
    let holds = plan(question, &chosen.parts).limits.iter().all(|limit| limit.state == LimitState::Held);
    Ok(if holds { (wider, true) } else { (tables, false) })
}
