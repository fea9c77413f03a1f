//! What is done with arbitrary bytes; the corpus is run through it as a plain test too.

use std::path::Path;

use pairwright::diagnostic::{Class, render};
use pairwright::input::load;
use pairwright_engine::quantity::{Amount, BOUNDS, Expected, Unit};

const JOB: &str = "\
units = \"in\"
engine = { bore = 3.940, stroke = 3.420 }
stock = { piston = \"pistons.csv\", rod = \"rods.csv\", head = \"heads.csv\", gasket = \"gaskets.csv\" }
positions = { cylinder = \"cylinders.csv\" }
readings = { deck = { file = \"readings.csv\", rod = \"R1\" }, chamber = \"pours.csv\" }
[banks]
left = { cylinders = [1], head = \"as measured\" }
right = { cylinders = [2], head = \"turned\" }
[[match]]
place = [\"piston\", \"rod\", \"head\", \"gasket\"]
even = \"compression\"
";

/// Every CSV file of the job, sound.
const FILES: [(&str, &str); 7] = [
    (
        "pistons.csv",
        "id,diameter_in,mass_g,dish_cc,at,fits,with\nA,3.9361,612.4,3.2,1,,R1\nB,3.9363,611.9,3.1,2,left right,\n",
    ),
    ("cylinders.csv", "cylinder,bore_in\n1,3.9402\n2,3.9404\n"),
    ("rods.csv", "id,length,mass_g\nR1,6.0000,590.1\nR2,6.0005,590.4\n"),
    ("heads.csv", "id,chamber_1_cc,u_chamber_cc,fits\nH1,61.4,0.1,\nH2,,,right\n"),
    ("gaskets.csv", "id,thickness,bore,count,bank\nthin,0.041,4.010,any,\nthick,0.051,4.010,4,left right\n"),
    ("readings.csv", "cylinder,piston,reading_in\n1,A,-0.0040\n1,B,-0.0055\n2,A,-0.0010\n"),
    ("pours.csv", "head,chamber,reading_cc,leave_out\nH2,1,61.5,\nH2,1,61.3,no\n"),
];

/// Writes the sound job and its files into `folder`, and asserts that it is one.
pub fn sound(folder: &Path) {
    write(folder, "job.toml", JOB.as_bytes());
    write_files(folder);
    let loaded = load(folder).unwrap_or_else(|wrong| panic!("{}", render(&wrong.items, &wrong.sources, false)));
    assert_eq!(loaded.notes, []);
}

/// Takes `data` for a job file in `folder`, beside sound CSV files.
pub fn job(folder: &Path, data: &[u8]) {
    write(folder, "job.toml", data);
    write_files(folder);
    check(folder);
}

/// Takes `data` for each of the CSV files in turn, beside a sound job.
pub fn csv(folder: &Path, data: &[u8]) {
    write(folder, "job.toml", JOB.as_bytes());
    write_files(folder);
    for (bad, good) in FILES {
        write(folder, bad, data);
        check(folder);
        write(folder, bad, good.as_bytes());
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

fn write_files(folder: &Path) {
    for (name, text) in FILES {
        write(folder, name, text.as_bytes());
    }
}

fn write(folder: &Path, name: &str, data: &[u8]) {
    std::fs::write(folder.join(name), data).expect("the temporary folder can be written");
}
