//! The plan position by position.

use pairwright_engine::explain::RunnerUp;
use pairwright_engine::job::{FitName, Scope};
use pairwright_engine::plan::{Placement, Plan};

use super::blocks::blocks;
use super::english::{self, GLUE};
use super::figure;
use super::grid::{Column, packed, tables};
use super::page::Page;
use super::runner_up;
use super::settings::settings;
use super::words::{Words, fit_of, label};
use crate::render::tightest::Limits;

/// Writes the plan as a table, or as blocks on a narrow page, with what is needed to read it.
pub(super) fn placements(page: &mut Page, words: Words<'_>, plan: &Plan, runners_up: &[RunnerUp]) {
    let limits = Limits::of(words.view);
    let others = words.other_fits(&plan.placements);
    let key = key(words, plan);
    let placed = placed(words, plan);
    let runners_up_columns = runner_up::columns(words, plan, runners_up);
    if plan.setting.served.is_empty() {
        set(page, &key, &[[placed, fits(words, plan, &others, &limits)].concat(), runners_up_columns]);
    } else {
        // With heads and gaskets there is too much for one table, however wide the page.
        page.heading("What goes where");
        settings(page, words, plan);
        set(page, &key, &[placed]);
        page.heading("What results");
        set_packed(page, &key, &results(words, plan, &others, &limits));
        if !runners_up_columns.is_empty() {
            page.heading("The next best");
            set(page, &key, &[runners_up_columns]);
        }
    }
    page.gap();
    notes(page, words, plan, &others, &limits);
    runner_up::note(page, words, plan, runners_up);
}

/// Sets the groups as tables, or as blocks on a narrow page.
pub(super) fn set(page: &mut Page, key: &Column, groups: &[Vec<Column>]) {
    if groups.iter().all(Vec::is_empty) {
        return;
    }
    let tables = tables(key, groups, page.style());
    set_one_by_one(page, key, groups, tables);
}

/// Sets the groups as few tables of which none takes a group apart, or as blocks on a narrow page.
pub(super) fn set_packed(page: &mut Page, key: &Column, groups: &[Vec<Column>]) {
    let tables = packed(key, groups, page.style());
    set_one_by_one(page, key, groups, tables);
}

fn set_one_by_one(page: &mut Page, key: &Column, groups: &[Vec<Column>], tables: Option<Vec<Vec<String>>>) {
    page.gap();
    match tables {
        Some(tables) => {
            for table in tables {
                page.gap();
                page.lines(table);
            }
        }
        None => blocks(page, key, groups),
    }
}

/// The position, and its bank where there is more than one.
fn key(words: Words<'_>, plan: &Plan) -> Column {
    let view = words.view;
    let bank = |place: &Placement| view.bank(place.position).filter(|_| view.job.banks.len() > 1);
    let one = |place: &Placement| {
        let bank = bank(place).map_or_else(String::new, |bank| format!(",{GLUE}{}", label(bank)));
        words.position_id(place.position) + &bank
    };
    Column::new(label(view.position_kind()), plan.placements.iter().map(one).collect())
}

/// The parts, and where each one comes from.
fn placed(words: Words<'_>, plan: &Plan) -> Vec<Column> {
    let view = words.view;
    let each = |cell: &dyn Fn(&Placement) -> String| plan.placements.iter().map(cell).collect::<Vec<_>>();
    let mut all = Vec::new();
    let a_position = |role: &usize| view.matching.scope(view.kind(*role)) == Scope::Position;
    for role in (0..view.matching.place.len()).filter(a_position) {
        let part = |place: &Placement| place.parts.get(role).copied();
        let id = |place: &Placement| part(place).map_or_else(String::new, |part| label(view.part(role, part)));
        all.push(Column::new(label(view.role_name(role)), each(&id)));
        if view.knows_where_parts_stand(role) {
            let from = |place: &Placement| match part(place).and_then(|part| view.stands_at(role, part)) {
                Some(at) if at == place.position => "stays".to_owned(),
                Some(at) => words.position_id(at),
                None => "spare".to_owned(),
            };
            all.push(Column::new("from", each(&from)));
        }
    }
    let heads = view.matching.role("head").filter(|&role| plan.setting.of_role(role).next().is_some());
    if let Some(role) = heads {
        let chamber = |place: &Placement| {
            let head = plan.setting.part(role, view.bank_index(place.position)?)?;
            let head = label(view.part(role, head));
            Some(format!("{}{GLUE}of{GLUE}{head}", view.chamber_over(place.position)?))
        };
        all.push(Column::new("chamber", each(&|place| chamber(place).unwrap_or_default())));
    }
    all
}

/// The aim's fit with its interval, then the other fits asked about or limited.
fn fits(words: Words<'_>, plan: &Plan, others: &[FitName], limits: &Limits) -> Vec<Column> {
    let aim = words.aim_fit();
    let unit = words.unit();
    let interval = |place: &Placement| {
        let value = fit_of(place, aim);
        value.map_or_else(String::new, |value| figure::interval(aim, value.estimate.low, value.estimate.high, unit))
    };
    let column = |fit: FitName| {
        let cells = plan.placements.iter().map(|place| value_and_room(words, place, fit, limits)).collect();
        Column::new(words.phrase(fit), cells)
    };
    let mut all = vec![column(aim)];
    all.push(Column::new(format!("95{GLUE}% interval"), plan.placements.iter().map(interval).collect()));
    all.extend(others.iter().map(|&fit| column(fit)));
    all
}

/// Every fit by itself: the value, and its interval where it is one that heads and gaskets have a part in.
fn results(words: Words<'_>, plan: &Plan, others: &[FitName], limits: &Limits) -> Vec<Vec<Column>> {
    let of = |fit: FitName| {
        let unit = words.view.unit_of(fit);
        let cells = plan.placements.iter().map(|place| value_and_room(words, place, fit, limits)).collect();
        let mut columns = vec![Column::new(words.phrase(fit), cells)];
        if fit == words.aim_fit() || !matches!(fit, FitName::Skirt | FitName::Mass) {
            let interval = |place: &Placement| {
                let value = fit_of(place, fit)?.estimate;
                Some(kept_together(&figure::interval(fit, value.low, value.high, unit)))
            };
            let cells = plan.placements.iter().map(|place| interval(place).unwrap_or_default()).collect();
            columns.push(Column::new(format!("95{GLUE}% interval"), cells));
        }
        columns
    };
    std::iter::once(words.aim_fit()).chain(others.iter().copied()).map(of).collect()
}

/// An interval that breaks at most once, and only where it has words: `0.0047 to` over `0.0035 below`.
fn kept_together(interval: &str) -> String {
    if interval.contains(GLUE) {
        return interval.replace(" to ", &format!("{GLUE}to "));
    }
    interval.replace(' ', &GLUE.to_string())
}

/// `0.0042, room 0.0007`: the value, and how far it is inside the nearest limit of the same fit.
fn value_and_room(words: Words<'_>, place: &Placement, fit: FitName, limits: &Limits) -> String {
    let Some(value) = fit_of(place, fit) else { return "unknown".to_owned() };
    let unit = words.view.unit_of(fit);
    let text = figure::value(fit, value.estimate.value, unit);
    let Some(margin) = limits.margin(fit, place.position, value.estimate.value) else { return text };
    let word = if margin < 0 { "beyond" } else { "room" };
    format!("{text}, {word}{GLUE}{}", figure::size(margin, unit, unit.usual_decimals()))
}

fn notes(page: &mut Page, words: Words<'_>, plan: &Plan, others: &[FitName], limits: &Limits) {
    let mut notes = Vec::new();
    notes.extend(figure::units_in_words(&words.units(others)));
    notes.push(format!("The true value lies in the interval with 95{GLUE}% confidence."));
    let limited = |place: &Placement| {
        place.fits.iter().any(|value| {
            (value.fit == words.aim_fit() || others.contains(&value.fit))
                && limits.margin(value.fit, place.position, value.estimate.value).is_some()
        })
    };
    if plan.placements.iter().any(limited) {
        notes.push("Room: how far the value is inside its nearest limit, guard band not taken off.".to_owned());
    }
    notes.push("Every figure is rounded by itself.".to_owned());
    page.plain(&notes.join(" "));
    let by_line = |place: &&Placement| fit_of(place, words.aim_fit()).is_some_and(|value| value.estimate.from_line);
    let by_line: Vec<usize> = plan.placements.iter().filter(by_line).map(|place| place.position).collect();
    if !by_line.is_empty() {
        let (was, its) = if by_line.len() == 1 { ("was", "its") } else { ("were", "their") };
        let who = english::sentence(&words.positions(&by_line));
        page.plain(&format!("{who} {was} not read: the deck there is taken from the straight line of {its} bank."));
    }
}
