//! The outcome in one line.

use pairwright_engine::job::{Goal, Measured, Next};
use pairwright_engine::outcome::Planned;
use pairwright_engine::plan::{LimitReport, LimitState, Standing};

use super::asked::{criteria, glued};
use super::english;
use super::figure;
use super::page::{Page, Tone};
use super::shopping::money;
use super::words::{Words, label};
use crate::render::stopped;

/// Says how sure the plan is, and whether it holds every limit; `before` names the matches whose
/// parts were already gone.
pub(super) fn answer(page: &mut Page, words: Words<'_>, planned: &Planned, before: &[&str]) {
    let held = limits(&planned.plan.limits);
    let spread = spread(words, planned);
    match &planned.standing {
        &Standing::Proven { levels, of, settled, is_first } => {
            let left = inside(&planned.plan.limits).to_owned() + &after(before) + &within(words);
            let proof = proof(words, levels, of, settled) + if is_first { "" } else { NOT_FIRST };
            let said = format!("no other choice{left} {}. {held} {spread} {proof}", better(words));
            page.verdict(Tone::Good, "Proven", &said);
        }
        Standing::BestFound { reason } => page.verdict(
            Tone::Look,
            "Best found",
            &format!(
                "it is not ruled out that another choice {} ({}). {held} {spread}",
                better(words),
                stopped::reason(*reason)
            ),
        ),
    }
}

/// Said where the search for the first of equal plans ended early.
const NOT_FIRST: &str = " Of plans equally good by all that, another may come first in the order of the files.";

/// How far the proof reaches that was checked, and the search beyond it.
fn proof(words: Words<'_>, levels: usize, of: usize, settled: usize) -> String {
    if levels == of {
        return "The proof was checked and covers every criterion.".to_owned();
    }
    let names = criteria(words);
    let named = |from: usize, to: usize| english::list(&names[from.min(names.len())..to.min(names.len())]);
    let beyond = match of - settled {
        0 => format!("the search went through all that is as good so far to settle the rest ({})", named(levels, of)),
        1 => format!("by one of the others ({}) a better plan is not ruled out", named(settled, of)),
        open => format!("by {open} of the others ({}) a better plan is not ruled out", named(settled, of)),
    };
    let order = if words.view.matching.buying.first.is_empty() { "the aim first" } else { "in the order asked for" };
    format!("The proof was checked and covers {levels} of {of} criteria, {order}; {beyond}.")
}

fn after(before: &[&str]) -> String {
    if before.is_empty() {
        return String::new();
    }
    let names: Vec<String> = before.iter().map(|name| format!("\"{}\"", label(name))).collect();
    format!(" from the parts that {} left over", english::list(&names))
}

/// What no other choice does.
fn better(words: Words<'_>) -> String {
    let first: String = words.view.matching.buying.first.iter().map(|next| worse(*next)).collect();
    let aim = &words.view.matching.aim;
    let fit = words.phrase(aim.fit);
    let by = aim.slack.map_or_else(String::new, |slack| format!(" by more than the {} given away", glued(slack)));
    let what = match (aim.goal, aim.by) {
        (Goal::Even, Measured::Squares) => format!("lies closer about its mean {fit}"),
        (Goal::Even, _) => format!("has less spread of {fit}"),
        (Goal::Near(target), by) => {
            let target = words.value(aim.fit, target.ticks());
            let how = if by == Measured::Squares { "by root mean square" } else { "at its worst cylinder" };
            let how = how.replace("cylinder", words.view.position_kind());
            format!("comes closer to {} of {target} {how}", english::with_article(fit))
        }
        (Goal::Highest, Measured::Extreme) => format!("has its lowest {fit} higher"),
        (Goal::Highest, _) => format!("has a higher total of {fit}"),
        (Goal::Lowest, Measured::Extreme) => format!("has its highest {fit} lower"),
        (Goal::Lowest, _) => format!("has a lower total of {fit}"),
    };
    first + &what + &by
}

/// What no other choice does before the aim counts.
const fn worse(next: Next) -> &'static str {
    match next {
        Next::Price => "costs less, and of those that cost no more none ",
        Next::Bought => "buys fewer pieces, and of those that buy no more none ",
        Next::Moves => "moves fewer parts, and of those that move no more none ",
        Next::Spread(_) => "is more even, and of those as even none ",
    }
}

/// ` for 40.00 or less`: what may be spent.
fn within(words: Words<'_>) -> String {
    let buying = &words.view.matching.buying;
    // What is cheapest of all needs no such word.
    let spend = buying.spend.filter(|_| !buying.first.contains(&Next::Price));
    spend.map_or_else(String::new, |spend| format!(" for {} or less", money(spend.ticks())))
}

/// Others may be better where they break a limit.
fn inside(limits: &[LimitReport]) -> &'static str {
    match limits {
        [] => "",
        _ if limits.iter().any(|limit| limit.state != LimitState::Held) => "",
        [_] => " within the limit",
        _ => " within the limits",
    }
}

/// The spread by prediction and in truth.
fn spread(words: Words<'_>, planned: &Planned) -> String {
    let summary = &planned.plan.summary;
    let (predicted, expected) =
        (words.difference(summary.spread), words.difference(figure::whole(summary.expected_spread.value)));
    format!("Spread {predicted} predicted, {expected} to be expected in truth.")
}

fn limits(limits: &[LimitReport]) -> String {
    let open = limits.iter().filter(|limit| limit.state != LimitState::Held).count();
    match (limits.len(), open) {
        (0, _) => "No limits were set.".to_owned(),
        (_, 0) if limits.iter().any(|limit| !limit.guard) => {
            "Every limit is held, but not all with their guard bands: the job asks for `guard = false`.".to_owned()
        }
        (1, 0) => "The limit is held.".to_owned(),
        (_, 0) => "Every limit is held.".to_owned(),
        (_, 1) => "One limit is not held: see Limits.".to_owned(),
        (_, open) => format!("{open} limits are not held: see Limits."),
    }
}
