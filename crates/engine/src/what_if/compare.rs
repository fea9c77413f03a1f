//! The job as it stands and every what-if, planned and laid side by side.

use super::apply::{Ground, apply};
use super::differs::differs;
use super::judge::{gained, judge};
use super::{Comparison, Row, RowOutcome, RowPlan};
use crate::clearance::ledger;
use crate::job::{Aim, Change, Job, WhatIf};
use crate::outcome::{Decision, decide, take};
use crate::plan::{Frame, Plan, PlanError, Question, Relaxed, Search, Setting, Taken, impossible, plan, put};
use crate::quantity::Amount;
use crate::reduction::Reductions;

/// Why nothing could be compared; never the user's doing.
pub type CompareError = PlanError;

/// Plans the match at `matching` as the job stands and under every what-if for which `wanted` says so. Earlier matches are
/// planned first, since each part is used once over the job; readings are reduced once for all.
///
/// # Errors
/// [`PlanError`] for a job larger than the solver takes, or an answer that the independent checker refuses.
pub fn compare(job: &Job, matching: usize, wanted: impl Fn(&WhatIf) -> bool) -> Result<Comparison, CompareError> {
    let reductions = Reductions::new(job)?;
    let mut settings: Vec<Option<Setting>> = vec![None; job.matches.len()];
    let outcome = outcome(job, matching, &reductions, |index, plan| settings[index] = Some(plan.setting.clone()))?;
    let as_found = as_found(job, matching, &reductions);
    let aim = job.matches[matching].aim;
    let found = as_found.as_ref().and_then(|plan| judge(&aim, plan));
    let stands = row(None, Box::new(job.clone()), outcome, (None, None));
    let ground = Ground { job, reductions: &reductions, settings: &settings };
    let mut rows = Vec::new();
    for index in (0..job.what_ifs.len()).filter(|&index| wanted(&job.what_ifs[index])) {
        rows.push(planned(ground, matching, index)?);
    }
    let mut comparison = Comparison { matching, as_found: as_found.map(Box::new), found, stands, rows };
    relate(&aim, &mut comparison);
    mark_unbeaten(&mut comparison);
    Ok(comparison)
}

fn planned(ground: Ground<'_>, matching: usize, index: usize) -> Result<Row, PlanError> {
    let all = &ground.job.what_ifs;
    let stack = WhatIf::stack(index, |at| &all[at].with);
    let sum = |of: fn(&WhatIf) -> Option<Amount>| {
        let stated = stack.iter().filter_map(|&at| of(&all[at])).map(Amount::ticks);
        stated.reduce(|sum, more| sum + more)
    };
    let costs = (sum(|what_if| what_if.price), sum(|what_if| what_if.hours));
    let changes: Vec<&Change> = stack.iter().flat_map(|&at| &all[at].changes).collect();
    let job = match apply(ground, changes) {
        Ok(job) => Box::new(job),
        Err(error) => {
            return Ok(row(Some(index), Box::new(ground.job.clone()), RowOutcome::NotApplied(error), costs));
        }
    };
    let outcome = outcome(&job, matching, ground.reductions, |_, _| {})?;
    Ok(row(Some(index), job, outcome, costs))
}

fn row(what_if: Option<usize>, job: Box<Job>, outcome: RowOutcome, costs: (Option<i64>, Option<i64>)) -> Row {
    Row { what_if, job, price: costs.0, hours: costs.1, outcome, unbeaten: false }
}

/// Plans every match up to the one that is compared; `each` hears of every plan.
fn outcome(
    job: &Job,
    last: usize,
    reductions: &Reductions,
    mut each: impl FnMut(usize, &Plan),
) -> Result<RowOutcome, PlanError> {
    let mut taken = Taken::default();
    for index in 0..=last {
        let mut planned = match one(job, index, reductions, &taken)? {
            RowOutcome::Planned(planned) => planned,
            _ if index < last => return Ok(RowOutcome::Earlier(index)),
            other => return Ok(other),
        };
        each(index, &planned.plan);
        put(job, index, &planned.plan, &mut taken);
        if index == last {
            planned.ledger = ledger(job, reductions, &taken);
            return Ok(RowOutcome::Planned(planned));
        }
        take(job, index, &planned.plan, &mut taken);
    }
    Ok(RowOutcome::Undecided)
}

/// Plans one match; impossible is said with what would make it possible.
fn one(job: &Job, index: usize, reductions: &Reductions, taken: &Taken) -> Result<RowOutcome, PlanError> {
    let question = match Question::new(job, index, reductions, taken) {
        Ok(question) => question,
        Err(lacks) => return Ok(RowOutcome::Missing(lacks)),
    };
    let search = Search::new(&question, Relaxed::default())?;
    Ok(match decide(&search)? {
        Decision::Plan(decided) => RowOutcome::Planned(Box::new(RowPlan {
            standing: decided.standing,
            plan: decided.plan,
            judged: None,
            gained: None,
            differs: None,
            ledger: None,
        })),
        Decision::Undecided => RowOutcome::Undecided,
        Decision::Impossible => RowOutcome::Impossible(Box::new(impossible(&search)?)),
    })
}

/// The engine as its parts stand now, as a plan; `None` unless every position has a part whose values are known.
fn as_found(job: &Job, matching: usize, reductions: &Reductions) -> Option<Plan> {
    let taken = Taken::default();
    let question = Question::new(job, matching, reductions, &taken).ok()?;
    let (frame, parts) = Frame::as_found(&question)?;
    let plan = plan(&frame, &parts);
    judge(&question.matching.aim, &plan).map(|_| plan)
}

/// Judges every plan by what the match as it stands wants, and says what it gains and where it differs.
fn relate(aim: &Aim, comparison: &mut Comparison) {
    for row in std::iter::once(&mut comparison.stands).chain(&mut comparison.rows) {
        if let RowOutcome::Planned(planned) = &mut row.outcome {
            planned.judged = judge(aim, &planned.plan);
        }
    }
    let RowOutcome::Planned(stands) = &comparison.stands.outcome else { return };
    for row in &mut comparison.rows {
        let RowOutcome::Planned(planned) = &mut row.outcome else { continue };
        if let (Some(before), Some(now)) = (&stands.judged, &planned.judged) {
            planned.gained = Some(gained((before, &stands.plan), (now, &planned.plan)));
        }
        let matching = &row.job.matches[comparison.matching];
        planned.differs = Some(differs(&row.job, matching, &stands.plan, &planned.plan));
    }
}

/// What is wanted, money and hours, of a plan that holds everything: less is better in each. Parts to buy count; what states no price or hours is free.
fn point(row: &Row) -> Option<[f64; 3]> {
    let RowOutcome::Planned(planned) = &row.outcome else { return None };
    let judged = planned.judged.filter(|_| planned.holds())?;
    Some([judged.cost(), row.money().unwrap_or(0) as f64, row.hours.unwrap_or(0) as f64])
}

/// Marks the plans that no other beats in all three together.
fn mark_unbeaten(comparison: &mut Comparison) {
    let points: Vec<_> = std::iter::once(&comparison.stands).chain(&comparison.rows).map(point).collect();
    let beats = |one: &[f64; 3], other: &[f64; 3]| {
        let both = || one.iter().zip(other);
        both().all(|(one, other)| one <= other) && both().any(|(one, other)| one < other)
    };
    let unbeaten =
        |own: &Option<[f64; 3]>| own.is_some_and(|own| !points.iter().flatten().any(|other| beats(other, &own)));
    let marks: Vec<bool> = points.iter().map(unbeaten).collect();
    let rows = std::iter::once(&mut comparison.stands).chain(&mut comparison.rows);
    rows.zip(marks).for_each(|(row, unbeaten)| row.unbeaten = unbeaten);
}
