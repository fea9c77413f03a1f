//! A comparison as JSON.

use pairwright_engine::job::Job;
use pairwright_engine::plan::{Setting, Standing};
use pairwright_engine::quantity::{Dimension, Unit};
use pairwright_engine::what_if::{Judged, Row, RowOutcome, RowPlan};

use super::clearances::clearances;
use super::compare_document::{Changed, CompareDocument, Found, WhatIfRow};
use super::document::{JobEcho, OutcomeWord, Quantity};
use super::no_plan::missing;
use super::placed::plan;
use super::values::quantity;
use super::whole::{aim, proof};
use crate::render::compare::CompareView;
use crate::render::stopped;
use crate::render::view::{View, number};

/// A comparison as JSON, format 1, ending with a line end; the keys are those of `docs/compare.schema.json`.
///
/// # Panics
/// Never: every map has text for keys, and a number that is not finite is written as null.
pub fn compare_json(compare: CompareView<'_>) -> String {
    let mut text = serde_json::to_string_pretty(&document(compare))
        .expect("labels are the only map keys, and a number that is not finite is written as null");
    text.push('\n');
    text
}

fn document(compare: CompareView<'_>) -> Option<CompareDocument> {
    let (job, view) = (compare.job, compare.view()?);
    let comparison = compare.comparison;
    let mut rows = compare.rows().into_iter().filter_map(|row| one(compare, row));
    Some(CompareDocument {
        format: 1,
        job: JobEcho { title: job.title.clone(), units: job.units.symbol().to_owned(), risk: job.risk, seed: job.seed },
        matching: view.matching.name.clone(),
        aim: aim(view),
        as_found: comparison.as_found.as_ref().map(|found| Found {
            measure: comparison.found.map(|judged| measure(view, &judged)),
            plan: plan(view, found),
        }),
        as_it_stands: rows.next()?,
        what_ifs: rows.collect(),
    })
}

fn measure(view: View<'_>, judged: &Judged) -> Quantity {
    quantity(judged.value, view.unit_of(judged.fit))
}

fn one(compare: CompareView<'_>, row: &Row) -> Option<WhatIfRow> {
    let view = compare.view_of(row)?;
    let what_if = row.what_if.and_then(|at| compare.job.what_ifs.get(at));
    let name_of = |&at: &usize| compare.job.what_ifs.get(at).map(|what_if| what_if.name.clone());
    let none = WhatIfRow {
        name: what_if.map(|what_if| what_if.name.clone()),
        with: what_if.map(|what_if| what_if.with.iter().filter_map(name_of).collect()).unwrap_or_default(),
        price: row.price.map(|price| number(price as f64, view.unit(Dimension::Money))),
        parts_price: row.parts().map(|price| number(price as f64, view.unit(Dimension::Money))),
        hours: row.hours.map(|hours| number(hours as f64, Unit::One)),
        outcome: OutcomeWord::Missing,
        reason: None,
        proof: None,
        measure: None,
        gain: None,
        below_doubt: None,
        held: None,
        unbeaten: row.unbeaten,
        changed: Vec::new(),
        changed_settings: Vec::new(),
        plan: None,
        clearances: None,
        impossible: None,
        missing: Vec::new(),
    };
    Some(match &row.outcome {
        RowOutcome::Planned(planned) => of_plan(view, &row.job, planned, none),
        RowOutcome::Impossible(why) => {
            WhatIfRow { outcome: OutcomeWord::Impossible, impossible: Some(view.impossible(why)), ..none }
        }
        RowOutcome::Undecided => {
            WhatIfRow { outcome: OutcomeWord::NotFound, reason: Some(stopped::NOT_FOUND.to_owned()), ..none }
        }
        RowOutcome::Missing(lacks) => {
            WhatIfRow { missing: lacks.iter().map(|lack| missing(view, lack)).collect(), ..none }
        }
        RowOutcome::Earlier(index) => {
            let name = row.job.matches.get(*index).map_or("", |matching| &matching.name);
            WhatIfRow { reason: Some(format!("the match `{name}` before it has no plan")), ..none }
        }
        RowOutcome::NotApplied(why) => WhatIfRow { reason: Some(why.to_string()), ..none },
    })
}

fn of_plan(view: View<'_>, job: &Job, planned: &RowPlan, none: WhatIfRow) -> WhatIfRow {
    let (outcome, reason, proof) = match &planned.standing {
        Standing::Proven { .. } => (OutcomeWord::Proven, None, proof(&planned.standing)),
        Standing::BestFound { reason } => (OutcomeWord::BestFound, Some(stopped::reason(*reason).to_owned()), None),
    };
    let gain = planned.gained.zip(planned.judged);
    let differs = planned.differs.clone().unwrap_or_default();
    WhatIfRow {
        outcome,
        reason,
        proof,
        measure: planned.judged.map(|judged| measure(view, &judged)),
        gain: gain.map(|(gained, judged)| quantity(gained.by, view.unit_of(judged.fit))),
        below_doubt: planned.gained.map(|gained| gained.below_doubt),
        held: Some(planned.holds()),
        changed: (differs.placed.iter())
            .map(|&(role, position)| Changed {
                role: view.role_name(role).to_owned(),
                position: view.position(position).to_owned(),
            })
            .collect(),
        changed_settings: view.setting(&Setting { served: differs.served }),
        plan: Some(plan(view, &planned.plan)),
        clearances: planned.ledger.as_ref().map(|ledger| clearances(job, ledger)),
        ..none
    }
}
