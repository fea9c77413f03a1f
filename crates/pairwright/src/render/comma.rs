//! The placements as CSV, for a spreadsheet.

use csv::{Terminator, WriterBuilder};
use pairwright_engine::job::{FitName, Job};
use pairwright_engine::outcome::{JobReport, Outcome};
use pairwright_engine::plan::{Placement, Shopping, Standing};
use pairwright_engine::quantity::Unit;

use super::json::kind;
use super::origin::Origin;
use super::tightest::Limits;
use super::view::{View, number, unit_of};

/// The placements of every plan as CSV (RFC 4180, CRLF line ends), one row a placement, the header
/// first. A match without a plan that holds every limit has no row: a plan at face value is not
/// one to build. Deck clearance is positive above the deck; the header names every unit.
///
/// # Panics
/// Never: a vector takes every write, and only text is written.
pub fn match_csv(job: &Job, report: &JobReport) -> String {
    let plans: Vec<Shown<'_>> = report.matches.iter().filter_map(|one| shown(job, one.index, &one.outcome)).collect();
    let kinds = kinds(&plans);
    let fits = fits(job, &plans);
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    let mut write =
        |record: &[String]| writer.write_record(record).expect("a vector takes every write of equal length");
    write(&header(job, &kinds, &fits));
    for plan in &plans {
        let limits = Limits::of(plan.view);
        for place in plan.placements {
            write(&row(plan, &limits, place, &kinds, &fits));
        }
    }
    let bytes = writer.into_inner().expect("a vector is always flushed");
    String::from_utf8(bytes).expect("only text was written")
}

/// A plan to show.
struct Shown<'a> {
    view: View<'a>,
    outcome: &'static str,
    placements: &'a [Placement],
    shopping: Option<&'a Shopping>,
}

fn shown<'a>(job: &'a Job, index: usize, outcome: &'a Outcome) -> Option<Shown<'a>> {
    let Outcome::Planned(planned) = outcome else { return None };
    let outcome = match planned.standing {
        Standing::Proven { .. } => "proven",
        Standing::BestFound { .. } => "best found",
    };
    let (placements, shopping) = (&planned.plan.placements, planned.plan.shopping.as_ref());
    Some(Shown { view: View::of(job, index)?, outcome, placements, shopping })
}

/// Every role of which some plan places a part, in order of first appearance, and whether any part of it is bought.
fn kinds<'a>(plans: &[Shown<'a>]) -> Vec<(&'a str, bool)> {
    let mut kinds = Vec::new();
    for role in plans.iter().flat_map(|plan| &plan.view.matching.place) {
        if !kinds.contains(&role.name.as_str()) {
            kinds.push(role.name.as_str());
        }
    }
    let buys = |plan: &Shown<'_>, kind: &str| {
        plan.shopping.is_some_and(|list| list.lines.iter().any(|line| plan.view.kind(line.role) == kind))
    };
    kinds.into_iter().map(|kind| (kind, plans.iter().any(|plan| buys(plan, kind)))).collect()
}

/// The price of the part of a kind and how many pieces of its type the plan buys; nothing for one without a price.
fn bought(plan: &Shown<'_>, place: &Placement, kind: &str) -> [String; 2] {
    let line = plan.view.matching.role(kind).and_then(|role| {
        let part = plan.view.stock(role)?.first_alike(*place.parts.get(role)?);
        plan.shopping?.lines.iter().find(|line| (line.role, line.part) == (role, part))
    });
    line.map_or([const { String::new() }; 2], |line| {
        [number(line.price as f64, Unit::Money).to_string(), line.count.to_string()]
    })
}

/// Every fit that some placement has.
fn fits(job: &Job, plans: &[Shown<'_>]) -> Vec<FitName> {
    let has = |fit: &FitName| {
        plans.iter().flat_map(|plan| plan.placements).any(|place| place.fits.iter().any(|value| value.fit == *fit))
    };
    job.fits.all().filter(has).collect()
}

fn header(job: &Job, kinds: &[(&str, bool)], fits: &[FitName]) -> Vec<String> {
    let mut header: Vec<String> = ["match", "outcome", "position", "bank"].map(str::to_owned).to_vec();
    for (kind, priced) in kinds {
        header.push((*kind).to_owned());
        header.push(format!("{kind}_comes_from"));
        if *priced {
            header.extend([format!("{kind}_price"), format!("{kind}_pieces_to_buy")]);
        }
        if *kind == "head" {
            header.push("chamber".to_owned());
        }
    }
    for fit in fits {
        let unit = match unit_of(job, job.fits.dimension(*fit)).symbol() {
            "1" | "" => String::new(),
            symbol => format!("_{symbol}"),
        };
        let fit = job.fits.name(*fit);
        header.extend([
            format!("{fit}{unit}"),
            format!("{fit}_u{unit}"),
            format!("{fit}_low{unit}"),
            format!("{fit}_high{unit}"),
        ]);
    }
    header.extend(["tightest_limit", "tightest_margin", "tightest_margin_unit"].map(str::to_owned));
    header
}

fn row(plan: &Shown<'_>, limits: &Limits, place: &Placement, kinds: &[(&str, bool)], fits: &[FitName]) -> Vec<String> {
    let view = plan.view;
    let mut row = vec![
        view.matching.name.clone(),
        plan.outcome.to_owned(),
        view.position(place.position).to_owned(),
        view.bank(place.position).unwrap_or_default().to_owned(),
    ];
    for (kind, priced) in kinds {
        row.extend(part_and_origin(view, place, kind));
        if *priced {
            row.extend(bought(plan, place, kind));
        }
        if *kind == "head" {
            row.push(view.chamber(place.position).map_or_else(String::new, |chamber| chamber.to_string()));
        }
    }
    for fit in fits {
        row.extend(values(view, place, *fit));
    }
    row.extend(match limits.tightest(place) {
        Some(tightest) => {
            let unit = view.unit_of(tightest.fit);
            let margin = number(tightest.margin as f64, unit).to_string();
            [format!("{} {}", view.fit_name(tightest.fit), kind(tightest.kind)), margin, unit.symbol().to_owned()]
        }
        None => [const { String::new() }; 3],
    });
    row
}

/// The part of a role and where it stands now: a position or a bank, `spare`, or nothing where the
/// stock does not say.
fn part_and_origin(view: View<'_>, place: &Placement, name: &str) -> [String; 2] {
    let role = view.matching.role_called(name);
    let Some((role, part)) = role.and_then(|role| Some((role, *place.parts.get(role)?))) else {
        return [const { String::new() }; 2];
    };
    let from = match view.origin(role, part) {
        Origin::Place(label) => label,
        Origin::Shelf => "spare",
        Origin::Unsaid => "",
    };
    [view.part(role, part).to_owned(), from.to_owned()]
}

fn values(view: View<'_>, place: &Placement, fit: FitName) -> [String; 4] {
    let Some(value) = place.fits.iter().find(|value| value.fit == fit) else { return [const { String::new() }; 4] };
    let unit = view.unit_of(fit);
    let estimate = value.estimate;
    [estimate.value as f64, estimate.u, estimate.low, estimate.high].map(|ticks| number(ticks, unit).to_string())
}
