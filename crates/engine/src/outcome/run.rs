//! Readings, plan and explanation of every match, in order.

use pairwright_assign::Reason;

use super::cautions::cautions;
use super::{JobReport, MatchReport, Outcome, Planned};
use crate::explain::explain;
use crate::job::Job;
use crate::plan::{Answer, PlanError, Question, Relaxed, Standing, Stopped, Tables, impossible, plan};
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
    let tables = Tables::settled(&question, Relaxed::default())?;
    let chosen = match tables.answer(&tables.problem()?)? {
        Answer::Chosen(chosen) => chosen,
        Answer::Short(short) => return Ok(Outcome::Impossible(Box::new(impossible(&question, &short)?))),
    };
    let plan = plan(&question, &chosen.parts);
    let explanation = explain(&question, &tables, &chosen, &plan)?;
    let certificate = tables.certificate(&chosen)?;
    let checked = tables.check(&certificate)?;
    let standing = match chosen.stopped {
        None if checked.levels == 0 => Standing::BestFound { reason: Stopped::NoProof },
        None => Standing::Proven { levels: checked.levels, of: checked.of },
        Some(Reason::EffortSpent) => Standing::BestFound { reason: Stopped::EffortSpent },
        Some(_) => Standing::BestFound { reason: Stopped::Otherwise },
    };
    Ok(Outcome::Planned(Box::new(Planned { standing, plan, certificate, explanation })))
}
