//! What-ifs side by side as CSV, for a spreadsheet.

use csv::{Terminator, WriterBuilder};
use pairwright_engine::job::FitName;
use pairwright_engine::plan::{Plan, Standing};
use pairwright_engine::quantity::{Dimension, Unit};
use pairwright_engine::what_if::{Row, RowOutcome};

use super::compare::{CompareView, broken, mean, mean_fit, planned, tightest};
use super::json::kind;
use super::view::{View, number};

/// A row for the engine as found, where the job says what stands where, for the job as it stands and for every what-if (RFC 4180, CRLF line ends), the header first. Cells are empty where
/// there is no plan; margins are in the unit beside them.
///
/// # Panics
/// Never: a vector takes every write, and only text is written.
pub fn compare_csv(compare: CompareView<'_>) -> String {
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    let mut write =
        |record: &[String]| writer.write_record(record).expect("a vector takes every write of equal length");
    if let Some(view) = compare.view() {
        write(&header(compare, view));
        if let Some(found) = &compare.comparison.as_found {
            write(&as_found(compare, view, found));
        }
        for row in compare.rows() {
            write(&one(compare, view, row));
        }
    }
    let bytes = writer.into_inner().expect("a vector is always flushed");
    String::from_utf8(bytes).expect("only text was written")
}

/// A column's name with its unit, as in `spread_in`.
fn named(name: &str, unit: Unit) -> String {
    match unit {
        Unit::One | Unit::Money => name.to_owned(),
        unit => format!("{name}_{}", unit.symbol()),
    }
}

fn header(compare: CompareView<'_>, view: View<'_>) -> Vec<String> {
    let aim = view.matching.aim.fit;
    let fit = mean_fit(compare.comparison, aim);
    let unit = view.unit_of(aim);
    let columns = [
        "what_if".to_owned(),
        "outcome".to_owned(),
        named("measure", unit),
        named("gain", unit),
        "below_doubt".to_owned(),
        named(&format!("mean_{}", view.fit_name(fit)), view.unit_of(fit)),
        "held".to_owned(),
        "tightest_limit".to_owned(),
        "tightest_kind".to_owned(),
        "margin".to_owned(),
        "margin_unit".to_owned(),
        "moves".to_owned(),
        "price".to_owned(),
        "hours".to_owned(),
        "unbeaten".to_owned(),
    ];
    columns.to_vec()
}

fn one(compare: CompareView<'_>, view: View<'_>, row: &Row) -> Vec<String> {
    let aim = view.matching.aim.fit;
    let fit = mean_fit(compare.comparison, aim);
    let unit = view.unit_of(aim);
    let plan = planned(row);
    let text = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let [mean, limit, kind, margin, margin_unit, moves] = of_plan(view, fit, plan.map(|planned| &planned.plan));
    vec![
        compare.name(row).to_owned(),
        outcome(row).to_owned(),
        text(plan.and_then(|planned| planned.judged).map(|judged| number(judged.value, unit))),
        text(plan.and_then(|planned| planned.gained).map(|gained| number(gained.by, unit))),
        plan.and_then(|planned| planned.gained).map_or_else(String::new, |gained| gained.below_doubt.to_string()),
        mean,
        plan.map_or_else(String::new, |planned| planned.holds().to_string()),
        limit,
        kind,
        margin,
        margin_unit,
        moves,
        text(row.money().map(|price| number(price as f64, view.unit(Dimension::Money)))),
        text(row.hours.map(|hours| number(hours as f64, Unit::One))),
        row.unbeaten.to_string(),
    ]
}

/// The engine as its parts stand now: nothing is gained by it, and it costs nothing.
fn as_found(compare: CompareView<'_>, view: View<'_>, found: &Plan) -> Vec<String> {
    let aim = view.matching.aim.fit;
    let fit = mean_fit(compare.comparison, aim);
    let measure = compare.comparison.found.map(|judged| number(judged.value, view.unit_of(aim)));
    let [mean, limit, kind, margin, margin_unit, moves] = of_plan(view, fit, Some(found));
    let held = broken(found).next().is_none().to_string();
    let [what_if, outcome] = ["as found"; 2].map(str::to_owned);
    let measure = measure.map_or_else(String::new, |value| value.to_string());
    let none = String::new;
    vec![
        what_if,
        outcome,
        measure,
        none(),
        none(),
        mean,
        held,
        limit,
        kind,
        margin,
        margin_unit,
        moves,
        none(),
        none(),
        none(),
    ]
}

/// The mean, the tightest limit with its margin, and the moves of a plan.
fn of_plan(view: View<'_>, fit: FitName, plan: Option<&Plan>) -> [String; 6] {
    let text = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    let limit = plan.and_then(tightest);
    [
        text(plan.and_then(|plan| mean(plan, fit)).map(|mean| number(mean, view.unit_of(fit)))),
        limit.map_or_else(String::new, |limit| view.fit_name(limit.fit).to_owned()),
        limit.map_or_else(String::new, |limit| kind(limit.kind).to_owned()),
        text(limit.map(|limit| number(limit.margin as f64, view.unit_of(limit.fit)))),
        limit.map_or_else(String::new, |limit| view.unit_of(limit.fit).symbol().to_owned()),
        plan.and_then(|plan| plan.moves).map_or_else(String::new, |moves| moves.to_string()),
    ]
}

fn outcome(row: &Row) -> &'static str {
    match &row.outcome {
        RowOutcome::Planned(planned) => match planned.standing {
            Standing::Proven { .. } => "proven",
            Standing::BestFound { .. } => "best found",
        },
        RowOutcome::Impossible(_) => "impossible",
        RowOutcome::Undecided => "not found",
        RowOutcome::Missing(_) | RowOutcome::Earlier(_) | RowOutcome::NotApplied(_) => "missing",
    }
}
