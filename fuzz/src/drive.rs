//! What is done with arbitrary bytes; the corpus is run through it as a plain test too.

use std::path::Path;

use pairwright::diagnostic::{Class, render};
use pairwright::input::load;
use pairwright_engine::quantity::{Amount, BOUNDS, Expected, Unit};

const JOB: &str = "\
units = \"in\"
banks = { left = [1], right = [2] }
stock = { piston = \"pistons.csv\" }
positions = { cylinder = \"cylinders.csv\" }
readings = { deck = \"readings.csv\" }
[[match]]
place = \"piston\"
even = \"deck\"
";

const PISTONS: &str = "id,diameter_in,mass_g,at,fits\nA,3.9361,612.4,1,\nB,3.9363,611.9,2,left right\n";

/// Takes `data` for a job file in `folder`, beside sound CSV files.
pub fn job(folder: &Path, data: &[u8]) {
    write(folder, "job.toml", data);
    write(folder, "pistons.csv", PISTONS.as_bytes());
    write(folder, "cylinders.csv", b"cylinder,bore_in\n1,3.9402\n2,3.9404\n");
    write(folder, "readings.csv", b"cylinder,piston,reading_in\n1,A,-0.0040\n1,B,-0.0055\n2,A,-0.0010\n");
    check(folder);
}

/// Takes `data` for each of the three CSV files in turn, beside a sound job.
pub fn csv(folder: &Path, data: &[u8]) {
    for bad in ["pistons.csv", "cylinders.csv", "readings.csv"] {
        job(folder, JOB.as_bytes());
        write(folder, bad, data);
        check(folder);
    }
}

/// Takes `data` for an amount of every quantity there is.
pub fn quantity(data: &[u8]) {
    let Ok(text) = std::str::from_utf8(data) else { return };
    for bound in BOUNDS {
        let own = Unit::WRITTEN.into_iter().find(|unit| unit.dimension() == bound.dimension);
        for (unit, comma) in [(own, false), (own, true), (None, false)] {
            match Amount::parse(text, &Expected { bound, unit, comma }) {
                Ok(amount) => {
                    assert!(bound.holds(amount.ticks()), "{} of `{text}`", bound.name);
                    assert_eq!(amount.unit().dimension(), bound.dimension, "{} of `{text}`", bound.name);
                }
                Err(error) => assert!(error.to_string().starts_with(bound.name), "{error}"),
            }
        }
    }
}

/// Loads the job and shows what there is to say: no panic, nothing without a place in the text.
fn check(folder: &Path) {
    let (items, sources) = match load(folder) {
        Ok(loaded) => {
            assert!(loaded.notes.iter().all(|note| note.class == Class::Note));
            (loaded.notes, loaded.sources)
        }
        Err(wrong) => {
            assert!(wrong.items.iter().any(|item| item.class == Class::Wrong), "refused for a reason");
            (wrong.items, wrong.sources)
        }
    };
    let text = render(&items, &sources, false);
    assert_eq!(text.is_empty(), items.is_empty());
    for label in items.iter().flat_map(|item| &item.labels) {
        let source = sources.named(&label.place.file).expect("a file that was read");
        assert!(source.text().get(label.place.span.clone()).is_some(), "a place in the text");
        assert_eq!(source.place(label.place.span.clone()), label.place, "line and column are those of the bytes");
    }
}

fn write(folder: &Path, name: &str, data: &[u8]) {
    std::fs::write(folder.join(name), data).expect("the temporary folder can be written");
}
