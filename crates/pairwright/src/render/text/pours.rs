//! How the chambers were poured, how well a pour repeats, and what to look at again.

use pairwright_engine::job::Job;
use pairwright_engine::readings::{Finding, Source};
use pairwright_engine::reduction::PoursReport;

use super::english::{self, GLUE, count, lines};
use super::figure;
use super::page::{Page, Tone};
use super::words::label;
use crate::render::view::{Burette, lines_of};

/// Writes about the pours of the whole job, where it has any.
pub(super) fn pours(page: &mut Page, job: &Job, report: &PoursReport) {
    let Some(pours) = &job.chambers else { return };
    let burette = Burette { job, pours };
    page.heading("Chambers");
    page.say(&taken(burette, report));
    page.say(&repeats(burette, report));
    if report.findings.is_empty() {
        page.say("Nothing in the pours asks to be looked at again.");
        return;
    }
    page.say(&format!("To look at again (lines of {}):", label(&pours.file)));
    for one in &report.findings {
        page.toned_item(Tone::Look, &word(one), &finding(burette, one));
    }
}

fn taken(burette: Burette<'_>, report: &PoursReport) -> String {
    let used = if report.used == report.readings { "all used".to_owned() } else { format!("{} used", report.used) };
    let pours = english::sentence(&count(report.readings, "pour"));
    format!("{pours} from {}, {used}; a chamber is the mean of its pours.", label(&burette.pours.file))
}

fn repeats(burette: Burette<'_>, report: &PoursReport) -> String {
    let known = &report.repeatability;
    let dof = known.dof.value();
    let freedom = if dof.is_finite() { format!(", {dof:.0} degrees of freedom") } else { String::new() };
    let unknown = "nothing says how well a pour repeats. Pour some chambers again, or state the repeatability.";
    let by = match known.source {
        Source::Residuals => "by the pours themselves",
        Source::Stated => "as the job states",
        Source::Pooled => "by the pours themselves together with what the job states",
        Source::ResolutionOnly => {
            return format!("{} Only that is counted, which is too little: {unknown}", step(burette, report));
        }
        Source::Nothing => return format!("Not even the step of the burette is known: {unknown}"),
    };
    format!(
        "A pour repeats within {} (standard deviation{freedom}), {by}. {}",
        finer(burette, known.s),
        step(burette, report)
    )
}

fn step(burette: Burette<'_>, report: &PoursReport) -> String {
    if report.resolution == 0.0 {
        return "The step of the burette is not known.".to_owned();
    }
    let origin = if report.resolution_from_decimals { "by the decimals typed" } else { "as the job states" };
    format!("The burette steps by {}, {origin}.", volume(burette, report.resolution))
}

fn word(finding: &Finding) -> String {
    match finding {
        Finding::ScatterAboveStated { .. } => "scatter".to_owned(),
        Finding::AllEqual { .. } => "no variation".to_owned(),
        _ => lines(&lines_of(finding)),
    }
}

fn finding(burette: Burette<'_>, finding: &Finding) -> String {
    let place = lines_of(finding).first().and_then(|&line| chamber(burette, line));
    let place = place.map_or_else(String::new, |place| format!("{place}; "));
    match finding {
        Finding::Outlier { value, expected, .. } => {
            format!(
                "{place}poured {}, but its other pours say {}.",
                volume(burette, *value),
                volume(burette, *expected)
            )
        }
        Finding::PairDisagrees { apart, .. } => {
            format!("{place}two pours are {} apart, and nothing says which is wrong.", volume(burette, *apart))
        }
        Finding::LeftOut { value, expected, .. } => {
            let says = expected.map_or_else(
                || "the pours used say nothing about it".to_owned(),
                |expected| format!("the pours used say {}", volume(burette, expected)),
            );
            format!("{place}left out by the job; poured {}, {says}.", volume(burette, *value))
        }
        Finding::Unchecked { lines } if lines.len() == 1 => {
            format!("{place}no other pour checks it: a slip there would not show.")
        }
        Finding::Unchecked { .. } => "no other pours check them: a slip in one would not show.".to_owned(),
        Finding::ScatterAboveStated { found, stated, p } => format!(
            "pours scatter by {}, while the stated repeatability gives {} (chance of that by accident: {}).",
            finer(burette, *found),
            finer(burette, *stated),
            figure::chance(*p)
        ),
        Finding::AllEqual { readings, value } => format!(
            "all {readings} pours are {}: equal pours are not certainty, so check how they were read.",
            volume(burette, *value)
        ),
        // Of what is left nothing can be said of chambers, or this version does not know it: better named than hidden.
        _ => "there is a finding here that this version cannot put into words.".to_owned(),
    }
}

/// `head H2, chamber 1`, of the pour on a line.
fn chamber(burette: Burette<'_>, line: u32) -> Option<String> {
    let row = burette.row(line)?;
    Some(format!("head{GLUE}{}, chamber{GLUE}{}", label(burette.head(row.head)), row.chamber + 1))
}

fn volume(burette: Burette<'_>, ticks: f64) -> String {
    let unit = burette.unit();
    figure::difference(figure::whole(ticks), unit, unit.usual_decimals())
}

fn finer(burette: Burette<'_>, ticks: f64) -> String {
    let unit = burette.unit();
    figure::difference(figure::whole(ticks), unit, unit.usual_decimals() + 1)
}
