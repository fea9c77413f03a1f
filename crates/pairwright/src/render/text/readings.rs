//! How the readings were taken, how well they repeat, and what to look at again.

use pairwright_engine::job::{Job, Positive};
use pairwright_engine::readings::Source;
use pairwright_engine::reduction::ReadingsReport;

use super::english::{self, GLUE, count};
use super::figure;
use super::findings;
use super::page::{Page, Tone};
use super::words::label;
use crate::render::view::Bench;

/// Writes about the readings of the whole job, where it has any.
pub(super) fn readings(page: &mut Page, job: &Job, report: &ReadingsReport) {
    let Some(deck) = &job.deck else { return };
    let bench = Bench { job, deck };
    page.heading("Readings");
    page.say(&taken(bench, report));
    page.say(&repeats(bench, report));
    if report.findings.is_empty() && report.untied.is_none() {
        page.say("Nothing in them asks to be looked at again.");
        return;
    }
    page.say(&format!("To look at again (lines of {}):", label(&deck.file)));
    for finding in &report.findings {
        let (word, text) = findings::finding(bench, finding);
        page.toned_item(Tone::Look, &word, &text);
    }
    if let Some(untied) = &report.untied {
        page.toned_item(Tone::Look, "not tied", &findings::untied(bench, untied));
    }
}

fn taken(bench: Bench<'_>, report: &ReadingsReport) -> String {
    let used = if report.used == report.readings { "all used".to_owned() } else { format!("{} used", report.used) };
    let gauge = match bench.deck.positive {
        Positive::Above => "a positive reading is a piston above the deck (positive = above)",
        Positive::Below => "a positive reading is a piston below the deck (positive = below)",
    };
    let readings = english::sentence(&count(report.readings, "reading"));
    let rod = rod(bench).map_or_else(String::new, |rod| format!(" {rod}"));
    format!("{readings} from {}, {used}; {gauge}.{rod}", label(&bench.deck.file))
}

/// Which rod the readings stand for, where rods are named at all.
fn rod(bench: Bench<'_>) -> Option<String> {
    let control = bench.deck.control_rod;
    let mut others: Vec<usize> =
        bench.deck.rows.iter().filter_map(|row| row.rod).filter(|rod| Some(*rod) != control).collect();
    others.sort_unstable();
    others.dedup();
    let names: Vec<String> = others.iter().map(|&rod| label(bench.rod(rod))).collect();
    let noun = if names.len() == 1 { "rod" } else { "rods" };
    let names = (!names.is_empty()).then(|| format!("{noun} {}", english::short_list(&names, 12)));
    let control = control.map(|rod| format!("rod{GLUE}{}", label(bench.rod(rod))));
    match (control, names) {
        (Some(control), None) => Some(format!("They were taken on {control} and hold for it.")),
        (Some(control), Some(names)) => {
            Some(format!("They hold for {control}; what was read on {names} is brought to it by the rods' lengths."))
        }
        (None, Some(names)) => {
            Some(format!("They were taken on {names}; no control rod is named, so they stand as read."))
        }
        (None, None) => None,
    }
}

fn repeats(bench: Bench<'_>, report: &ReadingsReport) -> String {
    let unit = bench.job.units;
    let size = |nm: f64| figure::difference(figure::whole(nm), unit, unit.usual_decimals() + 1);
    let known = &report.repeatability;
    let dof = known.dof.value();
    let freedom = if dof.is_finite() { format!(", {dof:.0} degrees of freedom") } else { String::new() };
    let unknown = "nothing says how well a reading repeats. Take some readings again, or state the repeatability.";
    let by = match known.source {
        Source::Residuals => "by the readings themselves",
        Source::Stated => "as the job states",
        Source::Pooled => "by the readings themselves together with what the job states",
        Source::ResolutionOnly => {
            return format!("{} Only that is counted, which is too little: {unknown}", step(bench, report));
        }
        Source::Nothing => return format!("Not even the step of the gauge is known: {unknown}"),
    };
    format!("A reading repeats within {} (standard deviation{freedom}), {by}. {}", size(known.s), step(bench, report))
}

fn step(bench: Bench<'_>, report: &ReadingsReport) -> String {
    let unit = bench.job.units;
    let origin = if report.resolution_from_decimals { "by the decimals typed" } else { "as the job states" };
    let size = figure::difference(figure::whole(report.resolution), unit, unit.usual_decimals());
    if report.resolution == 0.0 {
        return "The step of the gauge is not known.".to_owned();
    }
    format!("The gauge steps by {size}, {origin}.")
}
