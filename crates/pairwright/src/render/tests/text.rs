//! The page: its words, and what no page may do.

use pairwright_engine::job::{Aim, Bounding, FitName, Goal, Measured};
use pairwright_engine::outcome::Outcome;
use pairwright_engine::plan::{Culprit, Impossible, LimitKind, LimitState, NoPlan, Nothing, Setting, Stated, WhyNone};
use pairwright_engine::reduction::ReadingsReport;
use pairwright_proof::Refutation;

use super::sample::{self, even, inches, matching};
use super::sample_findings::{of_every_source, telling};
use super::sample_plan::nominal;
use crate::render::{Style, match_text};

const PLAIN: Style = Style { width: 100, color: false, ascii: true };

/// Every sample in every style worth telling apart.
fn pages() -> impl Iterator<Item = (String, Style, String)> {
    let widths = [1, 24, 40, 50, 59, 60, 72, 80, 100, 132, 200];
    let styles = widths.into_iter().flat_map(|width| {
        [(false, true), (false, false), (true, true), (true, false)].map(|(color, ascii)| Style { width, color, ascii })
    });
    styles.flat_map(|style| {
        sample::all()
            .into_iter()
            .map(move |(name, job, report)| (format!("{name} {style:?}"), style, match_text(&job, &report, &style)))
    })
}

fn without_escapes(text: &str) -> String {
    let mut out = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('\u{1b}') {
        out.push_str(before);
        rest = after.split_once('m').map_or("", |(_, after)| after);
    }
    out + rest
}

/// Columns by the measure of the tables.
fn columns(line: &str) -> usize {
    let mut table = comfy_table::Table::new();
    table.add_row([line]);
    table.column_max_content_widths().first().copied().map_or(0, usize::from)
}

#[test]
fn a_plan_at_several_widths() {
    let (job, report) = sample::full();
    for width in [100, 72, 50] {
        let text = match_text(&job, &report, &Style { width, ..PLAIN });
        insta::assert_snapshot!(format!("plan_at_{width}"), text);
    }
}

#[test]
fn a_plan_with_lines_and_colour() {
    let (job, report) = sample::full();
    let text = match_text(&job, &report, &Style { color: true, ascii: false, ..PLAIN });
    insta::assert_snapshot!("plan_in_colour", text.replace('\u{1b}', "<esc>"));
}

#[test]
fn other_outcomes() {
    for (name, (job, report)) in [
        ("several", sample::several()),
        ("impossible", sample::impossible()),
        ("bare_impossible", sample::bare_impossible()),
        ("missing", sample::missing()),
    ] {
        insta::assert_snapshot!(name, match_text(&job, &report, &Style { width: 80, ..PLAIN }));
    }
}

#[test]
fn no_line_is_wider_than_the_page() {
    for (name, style, text) in pages() {
        for line in without_escapes(&text).lines() {
            let unbreakable = !line.trim_start_matches([' ', '-']).contains(' ');
            assert!(columns(line) <= style.columns() || unbreakable, "{name}: {line:?}");
        }
    }
}

#[test]
fn no_figure_carries_a_bare_sign() {
    for (name, _, text) in pages().filter(|(name, ..)| !name.starts_with("hostile")) {
        let text = without_escapes(&text);
        let chars: Vec<char> = text.chars().collect();
        let signed =
            chars.windows(2).position(|pair| matches!(pair[0], '-' | '+' | '\u{2212}') && pair[1].is_ascii_digit());
        assert_eq!(signed, None, "{name}");
        let has_deck = !["missing", "bare", "heads", "gasket"].iter().any(|other| name.contains(other));
        assert!(!has_deck || text.contains("0.0041 below"), "{name}");
    }
}

#[test]
fn colour_adds_nothing_but_escapes() {
    for (name, style, text) in pages() {
        assert_eq!(text.contains('\u{1b}'), style.color, "{name}");
        if style.color {
            let (job, report) = sample::all()
                .into_iter()
                .find(|(known, ..)| name.starts_with(&format!("{known} Style")))
                .map(|(_, job, report)| (job, report))
                .expect("every page has its sample");
            assert_eq!(without_escapes(&text), match_text(&job, &report, &Style { color: false, ..style }), "{name}");
        }
    }
}

#[test]
fn an_ascii_page_is_ascii_but_for_the_users_own_labels() {
    for (name, style, text) in pages().filter(|(name, style, _)| style.ascii && !name.starts_with("hostile")) {
        assert!(text.is_ascii(), "{name} {style:?}");
    }
}

#[test]
fn no_line_ends_in_a_blank_and_no_glue_is_left() {
    for (name, _, text) in pages() {
        assert!(!text.contains('\u{a0}'), "{name}");
        assert!(text.ends_with('\n') && !text.contains("\n\n\n"), "{name}");
        assert_eq!(text.lines().find(|line| line.ends_with(' ')), None, "{name}");
    }
}

#[test]
fn cautions_come_last_and_the_answer_first() {
    let (job, report) = sample::full();
    let text = match_text(&job, &report, &PLAIN);
    let at = |needle: &str| text.find(needle).unwrap_or_else(|| panic!("{needle} is missing"));
    assert!(at("Proven:") < at("cylinder  ") && at("cylinder  ") < at("What sets the spread"));
    assert!(text.trim_end().ends_with("leave machining and running tests to qualified people."));
}

#[test]
fn every_aim_has_its_own_words() {
    let deck = |goal, by| Aim { fit: FitName::Deck, goal, by, slack: None };
    let near = Goal::Near(inches(-50));
    let aims = [
        (deck(Goal::Even, Measured::Spread), "has less spread of deck clearance"),
        (deck(Goal::Even, Measured::Squares), "lies closer about its mean deck clearance"),
        (deck(near, Measured::Worst), "comes closer to a deck clearance of 0.0050 in below at its worst cylinder"),
        (deck(near, Measured::Squares), "comes closer to a deck clearance of 0.0050 in below by root mean square"),
        (deck(Goal::Highest, Measured::Total), "has a higher total of deck clearance"),
        (deck(Goal::Highest, Measured::Extreme), "has its lowest deck clearance higher"),
        (deck(Goal::Lowest, Measured::Total), "has a lower total of deck clearance"),
        (deck(Goal::Lowest, Measured::Extreme), "has its highest deck clearance lower"),
        (Aim { slack: Some(inches(5)), ..even() }, "by more than the 0.0005 in given away"),
    ];
    for (aim, words) in aims {
        let (mut job, report) = sample::full();
        job.matches = vec![matching(aim)];
        let text = match_text(&job, &report, &Style { width: 400, ..PLAIN });
        assert!(text.contains(words), "{words}\n{text}");
    }
}

#[test]
fn a_plan_after_others_says_what_it_was_proven_from() {
    let (job, report) = sample::several();
    let text = match_text(&job, &report, &Style { width: 400, ..PLAIN });
    assert!(text.contains("Proven: no other choice within the limits lies closer"));
    assert!(
        text.contains("Proven: no other choice within the limits from the parts that \"first\" left over comes closer")
    );
}

#[test]
fn what_is_enough_for_a_plan_is_never_rounded_down() {
    let (job, mut report) = sample::impossible();
    for ticks in [7_421, 7_620, 7_621] {
        if let Outcome::Impossible(why) = &mut report.matches[0].outcome {
            why.culprits = vec![Culprit::Limit {
                fit: FitName::Skirt,
                kind: LimitKind::Side(Bounding::Min),
                enough: Some(ticks),
                setting: Setting::default(),
            }];
        }
        let text = match_text(&job, &report, &Style { width: 400, ..PLAIN });
        let enough = if ticks > 7_620 { "0.0004 in lower would be enough" } else { "0.0003 in lower would be enough" };
        assert!(text.contains(enough), "{ticks}\n{text}");
    }
}

#[test]
fn what_no_proof_covers_is_said() {
    let (job, report) = sample::impossible();
    let Outcome::Impossible(full) = &report.matches[0].outcome else { panic!("there is no plan") };
    let reason = || Nothing::Alone(Refutation::Slots { slots: Vec::new(), items: Vec::new() });
    let of = |all: Vec<Nothing>| Impossible {
        no_plan: NoPlan { stated: Stated { settings: all.len(), ..Stated::default() }, why: WhyNone::BySetting(all) },
        ..(**full).clone()
    };
    let cases = [
        ("The proof of that was checked.", of(vec![reason()])),
        ("covers all 2 ways to set heads and gaskets.", of(vec![reason(), reason()])),
        (
            "covers 1 of 2 ways to set heads and gaskets; of the others the search alone",
            of(vec![reason(), Nothing::Unproven]),
        ),
        ("No proof of that was found that the checker could follow", of(vec![Nothing::Unproven])),
        (
            "There is no proof: by its own guard band",
            Impossible { by_widest_band: true, ..of(vec![Nothing::Unproven]) },
        ),
    ];
    for (words, why) in cases {
        let mut report = report.clone();
        report.matches[0].outcome = Outcome::Impossible(Box::new(why));
        let text = match_text(&job, &report, &Style { width: 600, ..PLAIN });
        assert!(text.contains(words), "{words}\n{text}");
    }
}

#[test]
fn there_is_one_thing_to_do_for_whatever_stands_in_the_way() {
    let (job, report) = sample::impossible();
    let Outcome::Impossible(full) = &report.matches[0].outcome else { panic!("there is no plan") };
    let limit = |enough| Culprit::Limit {
        fit: FitName::Skirt,
        kind: LimitKind::Side(Bounding::Min),
        enough,
        setting: Setting::default(),
    };
    let bare = Impossible { culprits: Vec::new(), nominal: None, too_coarse: Vec::new(), ..(**full).clone() };
    let coarse = full.too_coarse[..2].to_vec();
    let mut skirt_only = nominal();
    skirt_only.limits.remove(0);
    skirt_only.limits[0].state = LimitState::Nominal;
    let cases = [
        ("Take every reading of deck clearance 2 times over", Impossible { too_coarse: coarse, ..bare.clone() }),
        ("Fill in what is not typed for cylinders 1, 3 and 2", with(&bare, Culprit::Untied)),
        ("Repeat the readings of cylinder 1", Impossible { nominal: Some(Box::new(nominal())), ..bare.clone() }),
        ("Measure what skirt clearance is made of", Impossible { nominal: Some(Box::new(skirt_only)), ..bare.clone() }),
        ("whether the `min_skirt` column of the cylinders may be 0.0003 in lower", with(&bare, limit(Some(7_421)))),
        ("Bring another piston that may go to cylinders 1, 3 and 2", with(&bare, limit(None))),
        ("Lift one of the `keep` or `bar` entries", with(&bare, Culprit::KeepOrBar)),
        ("Let another piston go to cylinders 1, 3 and 2", with(&bare, Culprit::Fits)),
        ("Bring more pistons to choose from", Impossible { positions: Vec::new(), ..bare.clone() }),
    ];
    for (words, why) in cases {
        let mut report = report.clone();
        report.matches[0].outcome = Outcome::Impossible(Box::new(why));
        let text = match_text(&job, &report, &Style { width: 400, ..PLAIN });
        let todo = text.split_once("What to do").map_or("", |(_, rest)| rest);
        assert!(todo.contains(words), "{words}\n{text}");
    }
}

fn with(why: &Impossible, culprit: Culprit) -> Impossible {
    Impossible { culprits: vec![culprit], ..why.clone() }
}

#[test]
fn a_reading_that_disagrees_comes_first_where_only_certainty_is_missing() {
    let (job, mut report) = sample::impossible();
    let mut odd = telling();
    odd.findings.truncate(1);
    report.readings = Some(odd);
    let text = match_text(&job, &report, &Style { width: 400, ..PLAIN });
    assert!(text.contains("Look at line 5 of deck.csv again, which disagrees with the other readings"), "{text}");
}

#[test]
fn untied_readings_are_the_thing_to_take() {
    let (job, mut report) = sample::impossible();
    report.readings = Some(ReadingsReport { findings: Vec::new(), ..telling() });
    let text = match_text(&job, &report, &Style { width: 400, ..PLAIN });
    assert!(text.contains("Take the readings listed under Readings as \"not tied\", and match again."), "{text}");
}

#[test]
fn every_source_of_the_repeatability_has_its_sentence() {
    let (job, mut report) = sample::full();
    let sentences = of_every_source().into_iter().map(|readings| {
        report.readings = Some(readings);
        let text = match_text(&job, &report, &Style { width: 400, ..PLAIN });
        let line = text.lines().find(|line| line.contains("repeats")).map(str::trim).map(str::to_owned);
        line.expect("a sentence about repeats")
    });
    insta::assert_snapshot!("repeatability", sentences.collect::<Vec<_>>().join("\n"));
}
