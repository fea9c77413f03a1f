//! The page of a job with heads and gaskets.

use pairwright_engine::explain::{Alternative, Flagged, FlaggedOut};
use pairwright_engine::job::{Bounding, Columns, FitName, Job, Pin, Role};
use pairwright_engine::outcome::{Caution, JobReport, Outcome, Planned, match_job};
use pairwright_engine::plan::{Culprit, LimitKind, Setting};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_engine::readings::{Finding, Source};

use super::sample_heads;
use crate::render::{Style, match_text};

const WIDE: Style = Style { width: 400, color: false, ascii: true };

fn wide((job, report): &(Job, JobReport)) -> String {
    match_text(job, report, &WIDE)
}

fn planned(report: &mut JobReport) -> &mut Planned {
    match &mut report.matches[0].outcome {
        Outcome::Planned(planned) => planned,
        _ => panic!("there is a plan"),
    }
}

#[test]
fn pages() {
    for (name, (job, report)) in [
        ("heads", sample_heads::planned()),
        ("a_gasket_a_bank", sample_heads::a_gasket_a_bank()),
        ("heads_impossible", sample_heads::impossible()),
    ] {
        insta::assert_snapshot!(name, match_text(&job, &report, &Style { width: 80, ..WIDE }));
    }
}

#[test]
fn a_head_end_for_end_has_its_last_chamber_at_the_front() {
    let (job, mut report) = sample_heads::planned();
    let setting = planned(&mut report).plan.setting.clone();
    let text = wide(&(job.clone(), report));
    for (cylinder, bank, chamber) in [("1, left", 0, 1), ("3, left", 0, 2), ("2, right", 1, 2), ("4, right", 1, 1)] {
        let head = &job.stock("head").expect("heads").parts[setting.part(2, bank).expect("a head")].id;
        let row = text.lines().find(|line| line.starts_with(cylinder)).expect("a row");
        assert!(row.ends_with(&format!(" {chamber} of {head}")), "{row}");
    }
    assert!(text.contains("turned end for end, its chamber 1 to the rear"));
}

#[test]
fn every_other_head_and_gasket_has_its_price() {
    let (job, mut report) = sample_heads::planned();
    let settings = planned(&mut report).explanation.settings.clone();
    let text = wide(&(job, report));
    let (_, section) = text.split_once("Other heads and gaskets\n").expect("the section");
    let (section, _) = section.split_once("\n\n").expect("its end");
    let priced = settings.iter().filter(|setting| matches!(setting.plan, Alternative::Found { .. })).count();
    assert_eq!(section.lines().filter(|line| line.contains("spread")).count(), priced);
    assert!(section.contains("- Heads the other way round (H1 on left and H3 on right): "), "{section}");
    assert!(section.contains("- Gasket thin; gasket thick: no plan within the limits."), "{section}");
}

#[test]
fn what_is_kept_names_its_bank_or_nothing() {
    let (mut job, report) = sample_heads::planned();
    let pin = |position, part, role| Pin { position, part, role };
    job.matches[0].keep = vec![pin(1, 3, 1), pin(1, 0, 2), pin(0, 1, 3)];
    let text = wide(&(job, report));
    assert!(text.contains("Kept: rod R4 in cylinder 3, head H1 on the right bank and gasket usual.\n"), "{text}");
}

#[test]
fn what_is_said_of_no_plan_names_the_setting_it_is_said_of() {
    let (job, mut report) = sample_heads::impossible();
    let (_, mut other) = sample_heads::planned();
    let setting = planned(&mut other).plan.setting.clone();
    let Outcome::Impossible(why) = &mut report.matches[0].outcome else { panic!("there is no plan") };
    let mut thick = setting.clone();
    thick.served.last_mut().expect("a gasket").part = 2;
    let limit = |setting| Culprit::Limit {
        fit: FitName::PistonToHead,
        kind: LimitKind::Side(Bounding::Max),
        enough: Some(2_540),
        setting,
    };
    (why.setting, why.culprits) = (setting.clone(), vec![limit(setting), limit(thick)]);
    let text = wide(&(job, report));
    let heads = "head H3 on the left bank, head H1 on the right bank";
    assert!(text.contains(&format!("Nearest to a plan comes {heads} and gasket usual; this is said of it.")), "{text}");
    assert!(text.contains("0.0001 in higher would be enough, with nothing else changed."), "{text}");
    assert!(
        text.contains(&format!(
            "0.0001 in higher would be enough with {heads} and gasket thick, with nothing else changed."
        )),
        "{text}"
    );
}

#[test]
fn heads_and_gaskets_alone_need_no_runner_up() {
    let mut job = sample_heads::job();
    job.matches[0].place = ["head", "gasket"].map(Role::of).to_vec();
    let report = match_job(&job, None).expect("the job can be matched");
    let text = wide(&(job, report));
    assert!(text.contains("Asked: heads onto banks, one gasket for the engine, compression"), "{text}");
    assert!(!text.contains("unner-up") && !text.contains("Piston E stays out"), "{text}");
    assert!(text.contains("stays out.") && text.contains("Lowest is cylinder"), "{text}");
}

#[test]
fn pistons_that_would_hit_the_head_touch_it() {
    let (job, mut report) = sample_heads::planned();
    let fits = &mut planned(&mut report).plan.placements[0].fits;
    let clearance = fits.iter_mut().find(|value| value.fit == FitName::PistonToHead).expect("a clearance");
    clearance.estimate.value = -30_480;
    let text = wide(&(job, report));
    assert!(text.contains("touches by 0.0012") && !text.contains("interference"), "{text}");
}

#[test]
fn what_pours_say_is_told_by_chamber_and_line() {
    let (job, mut report) = sample_heads::planned();
    let pours = report.pours.as_mut().expect("pours");
    let cc = |value: f64| value * 1e6;
    pours.findings = vec![
        Finding::PairDisagrees { lines: [2, 3], apart: cc(0.8), p: 0.01 },
        Finding::LeftOut { line: 6, value: cc(64.9), expected: Some(cc(64.2)) },
        Finding::LeftOut { line: 6, value: cc(64.9), expected: None },
        Finding::Unchecked { lines: vec![8] },
        Finding::Unchecked { lines: vec![8, 11] },
        Finding::ScatterAboveStated { found: cc(0.21), stated: cc(0.1), p: 0.01 },
        Finding::AllEqual { readings: 18, value: cc(64.0) },
    ];
    pours.repeatability.source = Source::ResolutionOnly;
    let without = |line| FlaggedOut {
        of: Flagged::Pour,
        lines: vec![line],
        same_plan: false,
        setting: Setting::default(),
        parts: None,
        seconds: Vec::new(),
        undecided: false,
        spread: None,
        changed: Vec::new(),
    };
    planned(&mut report).explanation.flagged_out = [2, 3].map(without).to_vec();
    let text = wide(&(job, report));
    for said in [
        "Lines 2 and 3 of chambers.csv disagree with the other pours of the chamber, and the plan hangs on it: take them \
         anew before you build.",
        "Without line 2 of the pours there is no plan.",
        "Nothing says how well a pour repeats, so every interval that hangs on a chamber is too narrow.",
        "- lines 2 and 3: head H1, chamber 1; two pours are 0.80 cc apart, and nothing says which is wrong.",
        "- line 6: head H1, chamber 2; left out by the job; poured 64.90 cc, the pours used say 64.20 cc.",
        "- line 6: head H1, chamber 2; left out by the job; poured 64.90 cc, the pours used say nothing about it.",
        "- line 8: head H2, chamber 1; no other pour checks it: a slip there would not show.",
        "- lines 8 and 11: no other pours check them: a slip in one would not show.",
        "- scatter: pours scatter by 0.210 cc, while the stated repeatability gives 0.100 cc",
        "- no variation: all 18 pours are 64.00 cc: equal pours are not certainty",
    ] {
        assert!(text.contains(said), "{said}\n{text}");
    }
}

#[test]
fn flat_clearance_has_its_caution_and_domes_another() {
    let flat = sample_heads::planned().1.cautions;
    assert!(flat.contains(&Caution::FlatClearance) && !flat.contains(&Caution::Domes));
    let domed = sample_heads::a_gasket_a_bank().1.cautions;
    assert!(domed.contains(&Caution::FlatClearance) && domed.contains(&Caution::Domes));
    let at = |caution| domed.iter().position(|known| *known == caution);
    assert!(at(Caution::MockUp) < at(Caution::FlatClearance) && at(Caution::Domes) < at(Caution::FiguresFirst));
}

#[test]
fn pistons_above_the_deck_are_cautioned_about_near_the_edge_of_their_gasket() {
    let nm = |ticks| Amount::new(ticks, Unit::Millimetre, 3);
    let near = |above: i64, opening: i64| {
        let mut job = sample_heads::job();
        let bore = job.engine.bore.expect("a bore");
        let gaskets = job.stocks.iter_mut().find(|stock| stock.kind == "gasket").expect("gaskets");
        let columns = gaskets.columns.iter().cloned().map(|mut column| {
            if column.name == "bore" {
                let opening = nm(bore.ticks() + opening);
                column.values.fill(Some(opening));
            }
            column
        });
        gaskets.columns = Columns::new(columns.collect());
        job.matches[0].limits.clear();
        let lower = |height: Amount| nm(height.ticks() - above);
        let columns = job.positions[0].columns.iter().cloned().map(|mut column| {
            if column.name == "deck_height" {
                column.values.iter_mut().for_each(|value| *value = value.map(lower));
            }
            column
        });
        job.positions[0].columns = Columns::new(columns.collect());
        match_job(&job, None).expect("a match").cautions.contains(&Caution::GasketEdge)
    };
    assert!(near(1_000_000, 999_000), "above the deck in a narrow opening");
    assert!(!near(1_000_000, 1_001_000), "an opening wide enough");
    assert!(!near(-1_000_000, 999_000), "below the deck");
}

#[test]
fn mated_parts_are_cautioned_about_where_there_are_any() {
    let mut job = sample_heads::job();
    let mated = |job: &Job| match_job(job, None).expect("a match").cautions.contains(&Caution::MatedParts);
    assert!(!mated(&job));
    job.stocks[0].parts[0].with = Some("R1".to_owned());
    assert!(mated(&job));
}

#[test]
fn every_bank_tells_its_least_room_and_every_fit_its_interval() {
    let (job, mut report) = sample_heads::planned();
    let plan = planned(&mut report).plan.clone();
    let text = wide(&(job, report));
    let least = |of: [usize; 2]| {
        let to_head = |at: usize| plan.placements[at].fits.iter().find(|fit| fit.fit == FitName::PistonToHead);
        let value = |at: usize| to_head(at).expect("piston-to-head").estimate.value;
        // Its limits are 0.0380 and 0.0600 in.
        let room = |at: usize| (value(at) - 965_200).min(1_524_000 - value(at));
        of.into_iter().map(|at| (room(at), at)).min().expect("two cylinders")
    };
    let labels = ["1", "3", "2", "4"];
    for (bank, of) in [("left bank", [0, 1]), ("right bank", [2, 3])] {
        let row = text.lines().find(|line| line.starts_with(bank)).expect("a row");
        let (room, at) = least(of);
        #[expect(clippy::cast_precision_loss, reason = "a room of a few hundredths of an inch in ticks")]
        let inches = room as f64 / 25_400_000.0;
        assert!(row.ends_with(&format!("{inches:.4} at {}", labels[at])), "{row}");
    }
    let (_, results) = text.split_once("What results\n").expect("the section");
    let head = results.lines().find(|line| line.starts_with("cylinder")).expect("the heads of the columns");
    assert_eq!(head.matches("95 % interval").count(), 4, "{head}");
}
