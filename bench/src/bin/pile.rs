//! A pile of 100,000 pistons, each read once: the whole program against counting the lines of its
//! two files and parsing their numbers.
//!
//! `pile make FOLDER` writes the job, `pile read FOLDER` is the peer.

use std::fmt::Write as _;
use std::io::{self, Write as _};
use std::path::Path;

use pairwright_bench::Numbers;

const PISTONS: usize = 100_000;
const JOB: &str = "title = \"A pile\"\nunits = \"in\"\n\n[banks]\nrow = [1, 2, 3, 4, 5, 6, 7, 8]\n\n\
    [stock]\npiston = \"pistons.csv\"\n\n[readings]\n\
    deck = { file = \"readings.csv\", resolution = 0.0001, repeatability = 0.0004 }\n\n\
    [[match]]\nplace = [\"piston\"]\neven = \"deck\"\n";

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let words: Vec<String> = std::env::args().skip(1).collect();
    match words.iter().map(String::as_str).collect::<Vec<_>>().as_slice() {
        ["make", folder] => make(Path::new(folder))?,
        ["read", folder] => {
            let (lines, sum) = read(Path::new(folder))?;
            writeln!(io::stdout(), "{lines} lines, numbers add up to {sum:.4}")?;
        }
        _ => return Err("usage: pile make FOLDER | pile read FOLDER".into()),
    }
    Ok(())
}

fn make(folder: &Path) -> io::Result<()> {
    let mut numbers = Numbers::new(100);
    let mut stock = String::from("id,mass_g\n");
    let mut readings = String::from("cylinder,piston,reading\n");
    let mut tenths =
        |width: u64| i64::try_from(numbers.below(width)).unwrap_or(0) - i64::try_from(width / 2).unwrap_or(0);
    let holes: Vec<i64> = (0..8).map(|_| tenths(80)).collect();
    for piston in 0..PISTONS {
        let effect = tenths(120);
        let _fits = writeln!(stock, "P{piston:06},{}.{}", 610 + piston % 7, piston % 10);
        let cylinders = if piston == 0 { 0..8 } else { 0..1 };
        for cylinder in cylinders {
            let reading = effect + holes[cylinder] + tenths(9);
            let sign = if reading < 0 { "-" } else { "" };
            let size = reading.unsigned_abs();
            let _fits = writeln!(readings, "{},P{piston:06},{sign}0.{size:04}", cylinder + 1);
        }
    }
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("job.toml"), JOB)?;
    std::fs::write(folder.join("pistons.csv"), stock)?;
    std::fs::write(folder.join("readings.csv"), readings)
}

/// Counts lines and parses every cell that is a number.
fn read(folder: &Path) -> io::Result<(usize, f64)> {
    let (mut lines, mut sum) = (0, 0.0);
    for file in ["pistons.csv", "readings.csv"] {
        for line in std::fs::read_to_string(folder.join(file))?.lines() {
            lines += 1;
            sum += line.split(',').filter_map(|cell| cell.parse::<f64>().ok()).sum::<f64>();
        }
    }
    Ok((lines, sum))
}
