use std::path::{Path, PathBuf};

use pairwright_engine::job::{Goal, Positive};

use super::*;

fn dataset(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../datasets").join(name)
}

#[test]
fn the_demo_loads_without_a_word() {
    for name in ["tarn-v8", "tarn-deck"] {
        let loaded = load(&dataset(name)).expect("sound");
        assert_eq!(loaded.notes, []);
        assert_eq!(loaded.missing, []);
        let job = loaded.job;
        assert_eq!(job.positions("cylinder").expect("there").ids, ["1", "3", "5", "7", "2", "4", "6", "8"]);
        assert_eq!(job.stock("piston").expect("there").parts.len(), 11);
        let deck = job.deck.expect("there");
        assert_eq!((deck.rows.len(), deck.positive), (38, Positive::Above));
        assert_eq!(deck.rows[13].value.to_string(), "0.0050 in", "the misread one");
        assert_eq!(deck.rows[13].line, 15);
    }
}

#[test]
fn the_metric_demo_says_how_its_columns_are_separated() {
    let loaded = load(&dataset("fell-six")).expect("sound");
    assert_eq!(loaded.notes.len(), 3);
    assert_eq!(loaded.missing, []);
    let deck = loaded.job.deck.expect("there");
    assert_eq!(deck.positive, Positive::Below);
    assert_eq!(deck.rows[0].value.to_string(), "0.12 mm");
    assert!(matches!(loaded.job.matches[0].aim.goal, Goal::Near(value) if value.to_string() == "-0.15 mm"));
}
