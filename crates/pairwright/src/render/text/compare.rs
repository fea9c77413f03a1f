//! What-ifs side by side, in words.

use pairwright_engine::job::{CYLINDER, Change, Goal, Measured, VALVE};
use pairwright_engine::outcome::Caution;
use pairwright_engine::plan::{LimitKind, LimitReport, LimitState, Plan, Standing};
use pairwright_engine::quantity::{Unit, rounded_text};
use pairwright_engine::what_if::{Differs, Judged, Row, RowOutcome, RowPlan};

use super::changes::changed;
use super::compare_clearances::{headroom, not_held};
use super::english::{GLUE, count, list, plural, sentence};
use super::figure;
use super::grid::{Column, fits_beside};
use super::impossible::in_one_line;
use super::page::Page;
use super::placements::set;
use super::words::{Words, free_text, label};
use crate::render::Style;
use crate::render::caution;
use crate::render::compare::{CompareView, broken, mean, mean_fit, planned, tightest};

/// A comparison as a page.
pub fn compare_text(compare: CompareView<'_>, style: &Style) -> String {
    let mut page = Page::new(*style);
    let Some(view) = compare.view() else { return page.into_text() };
    let summary = planned(&compare.comparison.stands).map(|planned| &planned.plan.summary);
    let words = summary.map_or_else(|| Words::plain(view), |summary| Words::for_plan(view, summary));
    page.title(&free_text(&compare.job.title));
    page.name(&format!("{}: what-ifs side by side", free_text(&view.matching.name)));
    let are_numbered = table(&mut page, compare, words);
    page.heading("What each one buys");
    let rows = compare.rows();
    for (number, row) in rows.iter().enumerate().skip(1) {
        let name = free_text(compare.name(row));
        let what_if = row.what_if.and_then(|at| compare.job.what_ifs.get(at));
        let changed = what_if.map_or_else(String::new, |what_if| format!(" ({})", changed(compare, row, what_if)));
        let text = format!("{name}{changed}: {}", said(compare, words, row));
        if are_numbered { page.marked(&number.to_string(), &text) } else { page.item(&text) }
    }
    if rows.len() == 1 {
        page.say("The job has no what-if: add sections `[[what_if]]` with a name and what changes.");
    }
    if let RowOutcome::Impossible(_) | RowOutcome::Missing(_) | RowOutcome::Undecided | RowOutcome::Earlier(_) =
        &compare.comparison.stands.outcome
    {
        page.say(&format!("The job as it stands: {}", said(compare, words, &compare.comparison.stands)));
    }
    let mut text = page.into_text();
    if compare.headroom {
        text += &headroom(compare, style);
    }
    let mut page = Page::new(*style);
    notes(&mut page, compare);
    text + "\n" + &page.into_text()
}

/// A plan of the table, where there is one, and how well it does.
type Planned<'a> = (Option<&'a Plan>, Option<Judged>);

fn plan_of(row: &Row) -> Planned<'_> {
    planned(row).map_or((None, None), |planned| (Some(&planned.plan), planned.judged))
}

/// Two tables: what each plan does and costs, and which limit it comes nearest to. Where names are too long for that the what-ifs go
/// by their numbers, and the answer is true.
fn table(page: &mut Page, compare: CompareView<'_>, words: Words<'_>) -> bool {
    let rows = compare.rows();
    let found = compare.comparison.as_found.as_deref();
    let fit = mean_fit(compare.comparison, words.aim_fit());
    let mut names: Vec<String> = Vec::new();
    let mut plans: Vec<Planned<'_>> = Vec::new();
    if let Some(found) = found {
        names.push(format!("as{GLUE}found"));
        plans.push((Some(found), compare.comparison.found));
    }
    let before = names.len() + 1;
    names.extend(rows.iter().map(|row| label(compare.name(row))));
    plans.extend(rows.iter().map(|row| plan_of(row)));
    let column = |head: &str, cell: &dyn Fn(&Plan) -> String| {
        let cell = |&(plan, _): &Planned<'_>| plan.map_or_else(String::new, cell);
        Column::new(head, plans.iter().map(cell).collect())
    };
    let own = |cell: &dyn Fn(&Row) -> String| -> Vec<String> {
        let first = found.map(|_| String::new());
        first.into_iter().chain(rows.iter().map(|row| cell(row))).collect()
    };
    let measured =
        |&(_, judged): &Planned<'_>| judged.map_or_else(|| format!("no{GLUE}plan"), |judged| figure_of(words, judged));
    let mean_of = |plan: &Plan| {
        let unit = words.view.unit_of(fit);
        mean(plan, fit).map_or_else(String::new, |mean| figure::value(fit, figure::whole(mean), unit))
    };
    let price = |row: &Row| row.money().map_or_else(String::new, |price| rounded_text(price, Unit::Money, 2));
    let unbeaten = |row: &Row| if row.unbeaten { "yes".to_owned() } else { String::new() };
    let yes = |held: bool| if held { "yes" } else { "no" }.to_owned();
    let is_found_held = found.map(|plan| yes(broken(plan).next().is_none()));
    let held = |row: &Row| planned(row).map_or_else(String::new, |planned| yes(planned.holds()));
    let whole = vec![
        Column::new(measure(words), plans.iter().map(measured).collect()),
        column(&format!("mean {}", words.phrase(fit)), &mean_of),
        column("moves", &|plan| plan.moves.map_or_else(String::new, |moves| moves.to_string())),
        Column::new("price", own(&price)),
        Column::new("hours", own(&|row| row.hours.map_or_else(String::new, hours))),
        Column::new("held", is_found_held.into_iter().chain(rows.iter().map(|row| held(row))).collect()),
    ];
    let of = |cell: &'static dyn Fn(Words<'_>, &LimitReport) -> String| {
        move |plan: &Plan| tightest(plan).map_or_else(String::new, |limit| cell(words, limit))
    };
    let mut beside = Vec::new();
    if plans.iter().any(|(plan, _)| plan.is_some_and(|plan| !plan.limits.is_empty())) {
        beside.push(column("tightest limit", &of(&limited)));
        beside.push(column("margin", &of(&room_at)));
    }
    beside.push(Column::new("unbeaten", own(&unbeaten)));
    let mut key = Column::new("what-if", names);
    let are_numbered = ![&whole, &beside].iter().all(|columns| fits_beside(&key, columns, page.style()));
    if are_numbered {
        for (at, name) in key.cells.iter_mut().skip(before).enumerate() {
            *name = (at + 1).to_string();
        }
    }
    set(page, &key, &[whole]);
    set(page, &key, &[beside]);
    if are_numbered {
        page.gap();
        page.plain("What-ifs go by their numbers: below stands what each of them is.");
    }
    are_numbered
}

fn hours(ticks: i64) -> String {
    let text = rounded_text(ticks, Unit::One, 2);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What is measured, as the head of a column.
fn measure(words: Words<'_>) -> String {
    let (aim, phrase) = (words.view.matching.aim, words.phrase(words.aim_fit()));
    match (aim.by, aim.goal) {
        (Measured::Spread, _) => format!("spread of {phrase}"),
        (Measured::Worst, _) => format!("farthest {phrase} from the target"),
        (Measured::Squares, Goal::Near(_)) => format!("scatter of {phrase} about the target"),
        (Measured::Squares, _) => format!("scatter of {phrase}"),
        (Measured::Total, _) => format!("total {phrase}"),
        (Measured::Extreme, Goal::Highest) => format!("least {phrase}"),
        (Measured::Extreme, _) => format!("greatest {phrase}"),
    }
}

fn figure_of(words: Words<'_>, judged: Judged) -> String {
    let ticks = figure::whole(judged.value);
    match judged.by {
        Measured::Extreme => figure::value(judged.fit, ticks, words.unit()),
        Measured::Total => rounded_text(ticks, words.unit(), words.unit().usual_decimals()),
        _ => figure::size(ticks, words.unit(), words.decimals),
    }
}

/// What a limit bounds.
fn limited(words: Words<'_>, limit: &LimitReport) -> String {
    match limit.kind {
        LimitKind::Spread => format!("spread of {}", words.phrase(limit.fit)),
        LimitKind::Neighbours => format!("{} between neighbours", words.phrase(limit.fit)),
        LimitKind::Side(_) => words.phrase(limit.fit).to_owned(),
    }
}

/// How far a limit is from being broken.
fn room(words: Words<'_>, limit: &LimitReport) -> String {
    let unit = words.view.unit_of(limit.fit);
    let size = figure::difference(limit.margin, unit, unit.usual_decimals());
    match limit.state {
        LimitState::Held => size,
        LimitState::Nominal => format!("{size}, within its doubt"),
        LimitState::Broken => format!("BROKEN by {size}"),
    }
}

/// The same with the position: `0.0021 in at 3`.
fn room_at(words: Words<'_>, limit: &LimitReport) -> String {
    let at = limit.tightest.map_or_else(String::new, |at| format!(" at{GLUE}{}", words.position_id(at)));
    room(words, limit) + &at
}

/// What one row comes to, in sentences.
fn said(compare: CompareView<'_>, words: Words<'_>, row: &Row) -> String {
    match &row.outcome {
        RowOutcome::Planned(planned) => bought(compare, words, row, planned),
        RowOutcome::Impossible(why) => {
            let own = compare.view_of(row).map_or(words, Words::plain);
            let remedy = super::remedy::remedy(own, why, None);
            format!("no plan: {} {remedy}", in_one_line(own, why))
        }
        RowOutcome::Undecided => "no plan was found before the search ended; there may be one.".to_owned(),
        RowOutcome::Missing(lacks) => {
            let lacks = lacks.iter().map(|lack| format!("{} needs {}", compare.job.fits.phrase(lack.fit), lack.what));
            format!("cannot be planned: {}.", lacks.collect::<Vec<_>>().join("; "))
        }
        RowOutcome::Earlier(index) => {
            let name = row.job.matches.get(*index).map_or("", |matching| &matching.name);
            format!("cannot be planned: the match `{}` before it has no plan.", free_text(name))
        }
        RowOutcome::NotApplied(why) => format!("cannot be done: {why}."),
    }
}

/// What a plan gains, loses and changes.
fn bought(compare: CompareView<'_>, words: Words<'_>, row: &Row, planned: &RowPlan) -> String {
    let mut text = match (&planned.gained, planned.judged) {
        (Some(gained), Some(judged)) => {
            let to = figure_of(words, judged);
            let size = words.difference(figure::whole(gained.by));
            let what = measure(words);
            match gained.by {
                0.0 => format!("leaves the {what} at {to}"),
                by if by > 0.0 => format!("betters the {what} by {size}, to {to}"),
                _ => format!("worsens the {what} by {size}, to {to}"),
            }
        }
        _ => "has a plan; there is nothing to compare it with".to_owned(),
    };
    if planned.gained.is_some_and(|gained| gained.below_doubt && gained.by != 0.0) {
        text += ", which is below the readings' doubt";
    }
    if let Some(limit) = broken(&planned.plan).next() {
        text += "; a limit is not held: ";
        text += &limited(words, limit);
        text += ", ";
        text += &room(words, limit);
    }
    text += ". ";
    text += &not_held(row, planned);
    text += &planned.differs.as_ref().map_or_else(String::new, |differs| where_other(compare, words, row, differs));
    if let Standing::BestFound { .. } = planned.standing {
        text += " The plan is the best found; a better one is not excluded.";
    }
    text
}

/// Where the plan differs from the plan as it stands.
fn where_other(compare: CompareView<'_>, words: Words<'_>, row: &Row, differs: &Differs) -> String {
    if differs.nowhere() {
        return "The plan is the one as it stands.".to_owned();
    }
    let Some(view) = compare.view_of(row) else { return String::new() };
    let own = Words { view, decimals: words.decimals };
    let mut parts: Vec<String> = Vec::new();
    for role in 0..view.matching.place.len() {
        let at: Vec<usize> = differs.placed.iter().filter(|placed| placed.0 == role).map(|placed| placed.1).collect();
        if !at.is_empty() {
            let (name, kind) = (view.role_name(role), label(view.kind(role)));
            let kind = if name == view.kind(role) { kind } else { format!("{}{GLUE}{kind}", label(name)) };
            let noun = if at.len() == 1 { kind } else { plural(&kind) };
            parts.push(format!("other {noun} in {}", own.positions(&at)));
        }
        let served: Vec<String> = (differs.served.iter().filter(|served| served.role == role))
            .map(|served| {
                let part = format!("{}{GLUE}{}", label(view.kind(role)), label(view.part(role, served.part)));
                served.bank.map_or_else(|| part.clone(), |bank| format!("{part} on {}", label(view.bank_name(bank))))
            })
            .collect();
        parts.extend(served);
    }
    format!("{}.", sentence(&list(&parts)))
}

fn notes(page: &mut Page, compare: CompareView<'_>) {
    page.heading("How to read this");
    let stands = planned(&compare.comparison.stands);
    let plans = compare.rows().into_iter().filter_map(planned);
    let proven = plans.clone().filter(|planned| matches!(planned.standing, Standing::Proven { .. })).count();
    let all = plans.count();
    page.say(&format!(
        "Every what-if was planned anew, choice of parts included; {} of {} proven: no choice does better by its aim under \
         its limits.",
        proven,
        count(all, "plan") + if all == 1 { " is" } else { " are" }
    ));
    page.say(
        "Held: every limit is, and enough is left of every clearance that was measured; one that has to be measured again \
         is not held. Price: what the changes cost and the parts that the plan buys. Unbeaten: of the plans that hold \
         everything no other does as well for as little money in as few hours, and better in one of them. What states no \
         price or hours counts as free.",
    );
    if stands.is_some_and(|planned| planned.plan.moves.is_some()) {
        page.say("Moves are parts that do not stay where they stand now.");
    }
    page.say(
        "The tightest limit is the one whose margin is least when measured by its own guard band; a margin is from the \
         predicted value to the limit.",
    );
    page.heading("Before anything is cut or bought");
    let changes = || compare.job.what_ifs.iter().flat_map(|what_if| &what_if.changes);
    let crowns = changes().any(|change| matches!(change, Change::CutCrown { .. }));
    let decks = changes().any(|change| matches!(change, Change::CutDeck { .. } | Change::SquareDeck { .. }));
    page.item(caution::sentence(Caution::FromReadings));
    let mock_up = compare.view().is_some_and(|view| view.position_kind() == CYLINDER || view.position_kind() == VALVE);
    page.item(caution::sentence(if mock_up { Caution::MockUp } else { Caution::TryAgain }));
    if crowns {
        page.item(
            "A cut piston is lighter than the file says, and its crown and ring land are thinner: weigh it again, have \
             the crank balanced, and keep to the maker's least thickness.",
        );
    }
    if decks {
        page.item("A cut deck moves the intake face and the pushrods: check that both still fit.");
    }
    page.item(caution::sentence(Caution::FiguresFirst));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hours_lose_idle_noughts() {
        assert_eq!(hours(1_500_000), "1.5");
        assert_eq!(hours(2_000_000), "2");
    }
}
