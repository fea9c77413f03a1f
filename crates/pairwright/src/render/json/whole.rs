//! The whole document.

use pairwright_engine::explain::{ForcedIn, OtherPlan, RunnerUp};
use pairwright_engine::job::{self, Goal, Job, Measured, Next};
use pairwright_engine::outcome::{JobReport, MatchReport, Outcome, Planned};
use pairwright_engine::plan::Standing;
use pairwright_engine::quantity::Unit;

use super::clearances::clearances;
use super::document::{Aim, Document, JobEcho, Match, OutcomeWord, ProofReach, Role};
use super::no_plan::missing;
use super::placed::plan;
use super::plan_document::Plan;
use super::pours::pours;
use super::readings::readings;
use crate::render::caution;
use crate::render::stopped;
use crate::render::view::{View, number};

/// What came of the matches of a job as JSON, format 1, ending with a line end. Deck clearance is
/// positive above the deck; the keys are those of `docs/match.schema.json`.
///
/// # Panics
/// Never: every map has text for keys, and a number that is not finite is written as null.
pub fn match_json(job: &Job, report: &JobReport) -> String {
    let mut text = serde_json::to_string_pretty(&document(job, report))
        .expect("labels are the only map keys, and a number that is not finite is written as null");
    text.push('\n');
    text
}

fn document(job: &Job, report: &JobReport) -> Document {
    let earlier = report.before.iter().map(|one| one.index);
    let planned = report.matches.iter().filter(|one| matches!(one.outcome, Outcome::Planned(_))).map(|one| one.index);
    let took: Vec<usize> = earlier.chain(planned).collect();
    let name = |index: usize| View::of(job, index).map(|view| view.matching.name.clone());
    let one = |one: &MatchReport| {
        let after = took.iter().filter(|&&index| index < one.index).filter_map(|&index| name(index));
        Some(Match { after: after.collect(), ..match_of(View::of(job, one.index)?, one) })
    };
    Document {
        format: 1,
        job: JobEcho { title: job.title.clone(), units: job.units.symbol().to_owned(), risk: job.risk, seed: job.seed },
        readings: report.readings.as_ref().and_then(|report| readings(job, report)),
        pours: report.pours.as_ref().and_then(|report| pours(job, report)),
        matches: report.matches.iter().filter_map(one).collect(),
        clearances: report.ledger.as_ref().map(|ledger| clearances(job, ledger)),
        cautions: report.cautions.iter().map(|&one| caution::sentence(one).to_owned()).collect(),
    }
}

fn match_of(view: View<'_>, report: &MatchReport) -> Match {
    let none = Match {
        name: view.matching.name.clone(),
        after: Vec::new(),
        place: view.matching.place.iter().map(|role| placed_role(view, role)).collect(),
        kind: view.places_first_kind().then(|| view.first_kind().to_owned()),
        aim: aim(view),
        outcome: OutcomeWord::Missing,
        reason: None,
        proof: None,
        plan: Plan::default(),
        as_found: None,
        ends: None,
        runners_up: Vec::new(),
        forced_in: Vec::new(),
        others: Vec::new(),
        selection: None,
        other_settings: Vec::new(),
        contributions: Vec::new(),
        little_more: Vec::new(),
        flagged_out: Vec::new(),
        steps: Vec::new(),
        other_steps: Vec::new(),
        impossible: None,
        nominal_plan: None,
        missing: Vec::new(),
    };
    match &report.outcome {
        Outcome::Planned(planned) => planned_match(view, planned, none),
        Outcome::Impossible(why) => Match {
            outcome: OutcomeWord::Impossible,
            impossible: Some(view.impossible(why)),
            nominal_plan: why.nominal.as_ref().map(|nominal| plan(view, nominal)),
            ..none
        },
        Outcome::Undecided => {
            Match { outcome: OutcomeWord::NotFound, reason: Some(stopped::NOT_FOUND.to_owned()), ..none }
        }
        Outcome::Missing(lacks) => Match { missing: lacks.iter().map(|lack| missing(view, lack)).collect(), ..none },
    }
}

fn placed_role(view: View<'_>, placed: &job::Role) -> Role {
    Role { role: placed.name.clone(), scope: view.scope(&placed.kind) }
}

/// How far the checked proof reaches.
pub(super) fn proof(standing: &Standing) -> Option<ProofReach> {
    match *standing {
        Standing::Proven { levels, of, settled, .. } => Some(ProofReach { levels, of, settled }),
        Standing::BestFound { .. } => None,
    }
}

fn planned_match(view: View<'_>, planned: &Planned, none: Match) -> Match {
    let explanation = &planned.explanation;
    // Parts that the match does not place stay where they stand: there is no other to put there.
    let placed = view.places_first_kind();
    let runners_up: &[RunnerUp] = if placed { &explanation.runners_up } else { &[] };
    let forced_in: &[ForcedIn] = if placed { &explanation.forced_in } else { &[] };
    let others = explanation.others.iter().filter(|other| placed || !matches!(other, OtherPlan::OtherParts { .. }));
    let (outcome, reason) = match &planned.standing {
        Standing::Proven { .. } => (OutcomeWord::Proven, None),
        Standing::BestFound { reason } => (OutcomeWord::BestFound, Some(stopped::reason(*reason).to_owned())),
    };
    Match {
        outcome,
        reason,
        proof: proof(&planned.standing),
        plan: plan(view, &planned.plan),
        as_found: explanation.as_found.as_ref().map(|found| view.as_found(found)),
        ends: explanation.ends.as_ref().map(|ends| view.ends(ends)),
        runners_up: runners_up.iter().map(|runner| view.runner_up(runner)).collect(),
        forced_in: forced_in.iter().map(|forced| view.forced_in(forced)).collect(),
        others: others.map(|other| view.other(other)).collect(),
        selection: explanation.selection.as_ref().map(|selection| view.selection(selection)),
        other_settings: explanation.settings.iter().map(|other| view.other_setting(other)).collect(),
        contributions: explanation.contributions.iter().map(|one| view.contribution(one)).collect(),
        little_more: explanation.little_more.iter().map(|one| view.little_more(one)).collect(),
        flagged_out: explanation.flagged_out.iter().map(|flagged| view.flagged_out(flagged)).collect(),
        other_steps: explanation.other_steps.iter().map(|steps| view.role_steps(steps)).collect(),
        steps: explanation.steps.iter().map(|chain| chain.iter().map(|step| view.step(step)).collect()).collect(),
        ..none
    }
}

pub(super) fn aim(view: View<'_>) -> Aim {
    let aim = &view.matching.aim;
    let (goal, target) = match aim.goal {
        Goal::Even => ("even", None),
        Goal::Near(target) => ("near", Some(view.of_fit(aim.fit, target.ticks()))),
        Goal::Highest => ("highest", None),
        Goal::Lowest => ("lowest", None),
    };
    let by = match aim.by {
        Measured::Spread => "spread",
        Measured::Worst => "worst",
        Measured::Squares => "squares",
        Measured::Total => "total",
        Measured::Extreme => "extreme",
    };
    let slack = aim.slack.map(|slack| view.of_fit(aim.fit, slack.ticks()));
    let buying = &view.matching.buying;
    let first = buying.first.iter().map(|next| word(*next)).collect();
    let spend = buying.spend.map(|spend| number(spend.ticks() as f64, Unit::Money));
    Aim { fit: view.fit_name(aim.fit).to_owned(), goal, by, target, slack, first, spend }
}

/// The word of what counts before the aim.
const fn word(next: Next) -> &'static str {
    match next {
        Next::Price => "price",
        Next::Bought => "bought",
        Next::Moves => "moves",
        Next::Spread(_) => "spread",
    }
}
