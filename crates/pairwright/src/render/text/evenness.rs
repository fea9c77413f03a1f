//! As found against matched, predicted against expected.

use pairwright_engine::explain::AsFound;
use pairwright_engine::job::{Goal, Measured};
use pairwright_engine::plan::{Interval, LimitState, Plan, Summary};

use super::english::{self, GLUE};
use super::figure;
use super::grid::Column;
use super::limits::named;
use super::page::Page;
use super::placements::set_packed;
use super::rooms::rooms;
use super::words::Words;

/// Writes what the plan gains, what it predicts, and what to expect in truth.
pub(super) fn evenness(page: &mut Page, words: Words<'_>, plan: &Plan, as_found: Option<&AsFound>) {
    let summary = &plan.summary;
    page.heading("How even it comes out");
    if let Some(found) = as_found {
        page.say(&against_found(words, found, summary));
        if let Some(broken) = broken(words, found) {
            page.say(&broken);
        }
    }
    page.say(&predicted(words, summary));
    page.say(&expected(words, summary));
    bank_by_bank(page, words, plan);
    if let Some(moves) = plan.moves {
        page.say(&moved(words, moves, plan.placements.len()));
    }
}

fn against_found(words: Words<'_>, found: &AsFound, summary: &Summary) -> String {
    let (before, after) = (words.difference(found.spread), words.difference(summary.spread));
    let gain = words.difference(found.gain.spread);
    let with = words.setting(&found.setting).map_or_else(String::new, |setting| format!(" (with {setting})"));
    let change = match found.gain.spread {
        0 => "no change".to_owned(),
        1.. => format!("{gain} less"),
        _ => format!("{gain} more"),
    };
    let doubt = match found.gain {
        gain if !gain.below_doubt || gain.spread == 0 => String::new(),
        _ => format!(". That is below the {}' doubt: it may not be so in truth", words.measured()),
    };
    format!("As found{with} the spread is {before}; as matched it is {after}, {change}{doubt}.")
}

/// Which limits the engine as found is beyond.
fn broken(words: Words<'_>, found: &AsFound) -> Option<String> {
    let broken = found.limits.iter().filter(|limit| limit.state == LimitState::Broken);
    let all: Vec<String> = broken
        .map(|limit| {
            let unit = words.view.unit_of(limit.fit);
            let (margin, _) = figure::told_apart(limit.margin, figure::whole(limit.band), unit);
            let at = limit.tightest.map_or_else(String::new, |at| format!(" at {}", words.position(at)));
            format!("{} by {margin}{at}", named(words, limit.fit, limit.kind))
        })
        .collect();
    (!all.is_empty()).then(|| format!("As found it is beyond what the limits allow: {}.", english::list(&all)))
}

fn predicted(words: Words<'_>, summary: &Summary) -> String {
    let (spread, scatter) = (words.difference(summary.spread), words.difference(figure::whole(summary.scatter)));
    let aim = &words.view.matching.aim;
    let mut all = vec![format!("Predicted spread {spread}, scatter {scatter}")];
    if let (Some(worst), Goal::Near(target)) = (summary.worst, aim.goal) {
        let target = words.value(aim.fit, target.ticks());
        all.push(format!("largest deviation from {target}: {}", words.difference(worst)));
        if let (Measured::Squares, Some(off)) = (aim.by, summary.off_target) {
            all.push(format!("root mean square deviation {}", words.difference(figure::whole(off))));
        }
    }
    if aim.by == Measured::Total {
        all.push(format!("total {}", words.value(aim.fit, summary.total)));
    }
    let picked = match aim.goal {
        Goal::Highest => {
            " The plan was picked for high values, errors of measurement included: expect a little less in truth."
        }
        Goal::Lowest => {
            " The plan was picked for low values, errors of measurement included: expect a little more in truth."
        }
        Goal::Even | Goal::Near(_) => "",
    };
    all.join("; ") + "." + picked
}

fn expected(words: Words<'_>, summary: &Summary) -> String {
    let expected = &summary.expected_spread;
    let text = |ticks: f64| words.difference(figure::whole(ticks));
    let mut all = format!(
        "Expect a true spread of {}; with 95{GLUE}% confidence it lies between {} and {}.",
        text(expected.value),
        text(expected.low),
        text(expected.high)
    );
    if text(expected.value) != words.difference(summary.spread) && expected.value > summary.spread as f64 {
        all += if words.view.matching.aim.goal == Goal::Even {
            " It is more than predicted: a least predicted spread is too good to be true, because the plan was picked \
             for it, errors of measurement included."
        } else {
            " It is more than predicted: errors of measurement widen a spread more often than they narrow it."
        };
    }
    all
}

/// Mean and spread of every bank and of the engine, where heads or gaskets are placed.
fn bank_by_bank(page: &mut Page, words: Words<'_>, plan: &Plan) {
    if plan.setting.served.is_empty() || plan.banks.len() < 2 {
        return;
    }
    let (fit, summary) = (words.aim_fit(), &plan.summary);
    let size = |ticks: f64| figure::size(figure::whole(ticks), words.unit(), words.decimals);
    let rows = plan.banks.iter().map(|bank| (words.bank(bank.bank), bank.mean, bank.spread, bank.expected_spread));
    let all = ("the engine".to_owned(), summary.mean, summary.spread, summary.expected_spread);
    let rows: Vec<_> = rows.chain([all]).collect();
    let column = |head: &str, cell: &dyn Fn(f64, i64, Interval) -> String| {
        Column::new(head, rows.iter().map(|&(_, mean, spread, expected)| cell(mean, spread, expected)).collect())
    };
    let columns = vec![
        column("mean", &|mean, _, _| figure::value(fit, figure::whole(mean), words.unit())),
        column("spread", &|_, spread, _| figure::size(spread, words.unit(), words.decimals)),
        column("true spread", &|_, _, expected| size(expected.value)),
        column(&format!("95{GLUE}% interval of it"), &|_, _, expected| {
            format!("{}{GLUE}to{GLUE}{}", size(expected.low), size(expected.high))
        }),
    ];
    let key = Column::new("over", rows.iter().map(|(name, ..)| name.clone()).collect());
    let which: Vec<Option<usize>> = plan.banks.iter().map(|bank| Some(bank.bank)).chain([None]).collect();
    set_packed(page, &key, &[columns, rooms(words, plan, &which)]);
    page.gap();
}

fn moved(words: Words<'_>, moves: usize, positions: usize) -> String {
    if words.view.matching.place.len() > 1 {
        return match moves {
            0 => "Nothing moves: every part of the plan already stands where it goes.".to_owned(),
            1 => "One part of the plan is spare now or stands elsewhere.".to_owned(),
            _ => format!("{} of the plan are spare now or stand elsewhere.", english::count(moves, "part")),
        };
    }
    let (kind, place) = (words.kind(), words.view.position_kind());
    match moves {
        0 => format!("Nothing moves: every {kind} of the plan already stands where it goes."),
        _ if moves == positions => format!("Every {place} gets another {kind} than stands there now."),
        1 => format!("One {place} of {positions} gets another {kind} than stands there now."),
        _ => format!("{} of {positions} get another {kind} than stands there now.", english::count(moves, place)),
    }
}
