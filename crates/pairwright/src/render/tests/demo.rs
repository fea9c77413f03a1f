//! The demo jobs, from their files to the page. Their figures may change, so no page is kept here.

use std::path::{Path, PathBuf};

use pairwright_engine::job::Job;
use pairwright_engine::outcome::{JobReport, Outcome, match_job};
use serde_json::Value;

use crate::render::{Style, match_csv, match_json, match_text};

fn dataset(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../datasets").join(name)
}

fn matched(name: &str) -> (Job, JobReport) {
    let job = crate::input::load(&dataset(name)).expect("a demo job reads").job;
    let report = match_job(&job, None).expect("a demo job can be matched");
    (job, report)
}

#[test]
fn every_placement_of_a_demo_is_in_every_form() {
    for name in ["tarn-v8", "fell-six"] {
        let (job, report) = matched(name);
        let Outcome::Planned(planned) = &report.matches[0].outcome else { panic!("{name} has a plan") };
        let texts = [100, 72, 50].map(|width| match_text(&job, &report, &Style { width, ..Style::default() }));
        let document: Value = serde_json::from_str(&match_json(&job, &report)).expect("valid JSON");
        let table = match_csv(&job, &report);
        let rows: Vec<&str> = table.lines().skip(1).collect();
        assert_eq!(rows.len(), planned.plan.placements.len());
        for (index, place) in planned.plan.placements.iter().enumerate() {
            let position = &job.positions("cylinder").expect("cylinders").ids[place.position];
            let part = &job.stock("piston").expect("pistons").parts[place.parts[0]].id;
            let shown = &document["matches"][0]["placements"][index];
            assert_eq!(
                (&shown["position"], &shown["parts"]["piston"]),
                (&position.as_str().into(), &part.as_str().into())
            );
            assert!(rows[index].contains(&format!(",{position},")) && rows[index].contains(&format!(",{part},")));
            for text in &texts {
                let row = |line: &str| {
                    line.trim_start_matches("Cylinder ").starts_with(position.as_str()) && line.contains(part.as_str())
                };
                let block = text.contains(&format!("piston: {part}"));
                assert!(block || text.lines().any(row), "{name}: {position} {part}");
            }
        }
    }
}

#[test]
fn a_demo_says_how_its_gauge_was_read_and_shows_no_bare_sign() {
    for (name, gauge) in [("tarn-v8", "positive = above"), ("fell-six", "positive = below")] {
        let (job, report) = matched(name);
        let text = match_text(&job, &report, &Style { width: 200, ..Style::default() });
        assert!(text.contains(gauge), "{name}");
        assert!(!text.contains("-0.") && !text.contains("+0."), "{name}");
        assert!(text.is_ascii(), "{name}");
    }
}
