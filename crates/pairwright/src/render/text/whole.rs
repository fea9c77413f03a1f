//! The whole page.

use pairwright_engine::job::Job;
use pairwright_engine::outcome::{JobReport, MatchReport, Outcome, Planned};

use super::answer::answer;
use super::asked::asked;
use super::clearances::clearances;
use super::contributions::contributions;
use super::ends::ends;
use super::evenness::evenness;
use super::impossible::impossible;
use super::left_out::left_out;
use super::limits::limits;
use super::little_more::little_more;
use super::look_first::{Known, look_first};
use super::missing::missing;
use super::other_settings::other_settings;
use super::others::{Mine, others};
use super::page::{Page, Tone};
use super::placements::placements;
use super::pours::pours;
use super::readings::readings;
use super::selection::selection;
use super::shopping::shopping;
use super::steps::steps;
use super::words::{Words, free_text};
use crate::render::Style;
use crate::render::caution;
use crate::render::stopped;
use crate::render::view::View;

/// What came of the matches of a job, in words for the bench; the answer stands first, cautions
/// last. Deck clearance is never a bare sign but `below` and `above`.
pub fn match_text(job: &Job, report: &JobReport, style: &Style) -> String {
    let mut page = Page::new(*style);
    page.title(&free_text(&job.title));
    let known =
        Known { readings: report.readings.as_ref(), pours: report.pours.as_ref(), ledger: report.ledger.as_ref() };
    let earlier = report.before.iter().filter_map(|one| View::of(job, one.index));
    let mut before: Vec<&str> = earlier.map(|view| view.matching.name.as_str()).collect();
    for one in &report.matches {
        if let Some(view) = View::of(job, one.index) {
            one_match(&mut page, view, one, &before, known);
            if matches!(one.outcome, Outcome::Planned(_)) {
                before.push(view.matching.name.as_str());
            }
        }
    }
    if let Some(ledger) = &report.ledger {
        clearances(&mut page, job, ledger);
    }
    if let Some(known) = &report.readings {
        readings(&mut page, job, known);
    }
    if let Some(known) = &report.pours {
        pours(&mut page, job, known);
    }
    if !report.cautions.is_empty() {
        page.heading("Before you build");
        for &one in &report.cautions {
            page.item(caution::sentence(one));
        }
    }
    page.into_text()
}

fn one_match(page: &mut Page, view: View<'_>, report: &MatchReport, before: &[&str], known: Known<'_>) {
    page.name(&free_text(&view.matching.name));
    asked(page, Words::plain(view));
    match &report.outcome {
        Outcome::Planned(planned) => plan(page, Words::for_plan(view, &planned.plan.summary), planned, before, known),
        Outcome::Impossible(why) => impossible(page, Words::plain(view), why, known.readings),
        Outcome::Undecided => page.verdict(Tone::Bad, "Not found", stopped::NOT_FOUND),
        Outcome::Missing(lacks) => missing(page, &view.job.fits, lacks),
    }
}

fn plan(page: &mut Page, words: Words<'_>, planned: &Planned, before: &[&str], known: Known<'_>) {
    let (plan, explanation) = (&planned.plan, &planned.explanation);
    answer(page, words, planned, before);
    look_first(page, words, planned, known);
    placements(page, words, plan, &explanation.runners_up);
    shopping(page, words, plan);
    evenness(page, words, plan, explanation.as_found.as_ref());
    ends(page, words, plan, explanation.ends.as_ref());
    contributions(page, words, &explanation.contributions);
    selection(page, words, explanation);
    little_more(page, words, &explanation.little_more);
    left_out(page, words, plan, explanation);
    let mine: Vec<usize> = plan.placements.iter().filter_map(|place| words.view.first_part(place)).collect();
    others(page, words, Mine { plan, parts: &mine }, explanation);
    other_settings(page, words, plan, &explanation.settings);
    steps(page, words, explanation);
    limits(page, words, plan);
}
