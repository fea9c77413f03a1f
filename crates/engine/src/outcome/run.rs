//! Readings, plan and explanation of every match, in order.

use std::rc::Rc;

use pairwright_assign::Reason;

use super::cautions::cautions;
use super::{Earlier, JobReport, MatchReport, Outcome, Planned};
use crate::clearance::ledger;
use crate::explain::{Scene, explain};
use crate::job::{Job, Scope};
use crate::plan::{
    Answer, Asked, Certificate, Chosen, Layout, Plan, PlanError, Question, Relaxed, Search, Standing, Stopped, Taken,
    impossible, plan, put,
};
use crate::reduction::{ChamberReduction, Reduction, Reductions};

/// Plans and explains the matches of a job in order, each part used once over the job; `only` picks
/// one of them by name, and those before it are planned for the parts that they take.
///
/// # Errors
/// [`PlanError`] for what is never the user's doing: a job larger than the solver takes, or an
/// answer that the independent checker refuses.
pub fn match_job(job: &Job, only: Option<&str>) -> Result<JobReport, PlanError> {
    let reductions = Reductions::new(job)?;
    let mut taken = Taken::default();
    let (mut before, mut matches) = (Vec::new(), Vec::new());
    for (index, matching) in job.matches.iter().enumerate() {
        if only.is_none_or(|name| name == matching.name) {
            let outcome = match_one(job, index, &reductions, &taken)?;
            if let Outcome::Planned(planned) = &outcome {
                take(job, index, &planned.plan, &mut taken);
                put(job, index, &planned.plan, &mut taken);
            }
            matches.push(MatchReport { index, outcome });
        } else if matches.is_empty()
            && let Some((plan, certificate)) = self::before(job, index, &reductions, &taken)?
        {
            take(job, index, &plan, &mut taken);
            put(job, index, &plan, &mut taken);
            before.push(Earlier { index, certificate });
        }
    }
    let ledger = ledger(job, &reductions, &taken);
    let readings = reductions.deck.map(Reduction::into_report);
    let pours = reductions.chambers.map(ChamberReduction::into_report);
    let cautions = cautions(job, &matches, ledger.as_ref());
    Ok(JobReport { readings, pours, before, matches, ledger, cautions })
}

/// Takes what a plan uses: the parts of positions one by one, those of banks once.
pub(crate) fn take(job: &Job, index: usize, plan: &Plan, taken: &mut Taken) {
    let Some(matching) = job.matches.get(index) else { return };
    for (role, asked) in matching.place.iter().enumerate() {
        if matching.scope(&asked.kind) == Scope::Position {
            for placement in &plan.placements {
                let to = job.positions_of(matching).map(|positions| positions.among_all(placement.position));
                if let (Some(&part), Some(to)) = (placement.parts.get(role), to) {
                    taken.take_to(&asked.kind, part, to);
                }
            }
        } else {
            plan.setting.of_role(role).for_each(|served| taken.take(&asked.kind, served.part));
        }
    }
}

/// A match that is planned only for the parts that it takes; `None` where it has no plan.
fn before(
    job: &Job,
    index: usize,
    reductions: &Reductions,
    taken: &Taken,
) -> Result<Option<(Plan, Certificate)>, PlanError> {
    let Ok(question) = Question::new(job, index, reductions, taken) else { return Ok(None) };
    let search = Search::new(&question, Relaxed::default())?;
    let Decision::Plan(decided) = decide(&search)? else { return Ok(None) };
    Ok(Some((decided.plan, decided.certificate)))
}

fn match_one(job: &Job, index: usize, reductions: &Reductions, taken: &Taken) -> Result<Outcome, PlanError> {
    let question = match Question::new(job, index, reductions, taken) {
        Ok(question) => question,
        Err(lacks) => return Ok(Outcome::Missing(lacks)),
    };
    let search = Search::new(&question, Relaxed::default())?;
    let Decided { standing, plan, certificate, chosen, layout } = match decide(&search)? {
        Decision::Plan(decided) => *decided,
        Decision::Undecided => return Ok(Outcome::Undecided),
        Decision::Impossible => return Ok(Outcome::Impossible(Box::new(impossible(&search)?))),
    };
    let scene = Scene { search: &search, layout: &layout, chosen: &chosen, plan: &plan };
    let explanation = explain(&scene)?;
    Ok(Outcome::Planned(Box::new(Planned { standing, plan, certificate, explanation })))
}

/// What a search comes to, before anything is said about it.
pub(crate) enum Decision<'q> {
    Plan(Box<Decided<'q>>),
    Impossible,
    Undecided,
}

/// A plan whose certificate was checked.
pub(crate) struct Decided<'q> {
    pub(crate) standing: Standing,
    pub(crate) plan: Plan,
    pub(crate) certificate: Certificate,
    chosen: Chosen,
    layout: Rc<Layout<'q>>,
}

/// The best plan, and how sure it is that no other is better.
pub(crate) fn decide<'q>(search: &Search<'q>) -> Result<Decision<'q>, PlanError> {
    let chosen = match search.best(Asked::default())? {
        Answer::Chosen(chosen) => chosen,
        Answer::Undecided => return Ok(Decision::Undecided),
        Answer::Short(_) => return Ok(Decision::Impossible),
    };
    let layout = search.layout(&chosen)?;
    let plan = plan(&layout.frame, &chosen.parts);
    let certificate = search.certificate(&chosen)?;
    let checked = search.check(&certificate)?;
    let standing = match chosen.stopped {
        None if search.by_widest_band(&layout) => Standing::BestFound { reason: Stopped::WidestBand },
        None if checked.levels == 0 => Standing::BestFound { reason: Stopped::NoProof },
        None => Standing::Proven {
            levels: checked.levels,
            of: checked.of,
            settled: chosen.exact.max(checked.levels),
            is_first: chosen.is_first,
        },
        Some(Reason::EffortSpent) => Standing::BestFound { reason: Stopped::EffortSpent },
        Some(_) => Standing::BestFound { reason: Stopped::Otherwise },
    };
    Ok(Decision::Plan(Box::new(Decided { standing, plan, certificate, chosen, layout })))
}
