//! The race on one sort of table after another, at one size after another: `race make FOLDER [WORD]` writes instances,
//! `race time FOLDER [WORD]` says in a line of JSON each what those took whose name has the word, in nanoseconds of the
//! processor, and `race memory FILE METHOD` what memory a method takes beside the table.
//! Reading a file is apart.

mod instances;
mod ours;
mod peers;

use std::error::Error;
use std::fmt::Write as _;
use std::fs;
use std::io::{self, Write};
use std::path::Path;

use pairwright_assign::{Shape, Table};

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().collect();
    let arguments: Vec<&str> = arguments.iter().skip(1).map(String::as_str).collect();
    match arguments[..] {
        ["make", folder] => instances::make(Path::new(folder), ""),
        ["make", folder, word] => instances::make(Path::new(folder), word),
        ["time", folder] => time(Path::new(folder), ""),
        ["time", folder, word] => time(Path::new(folder), word),
        ["memory", file, method] => {
            let (table, beside) = ours::memory(&instances::read(Path::new(file))?, method)?;
            Ok(writeln!(io::stdout(), "{{\"table\": {table}, \"beside\": {beside}}}")?)
        }
        _ => Err("say `make FOLDER [WORD]`, `time FOLDER [WORD]` or `memory FILE METHOD`".into()),
    }
}

fn time(folder: &Path, word: &str) -> Result<(), Box<dyn Error>> {
    let mut paths: Vec<_> =
        fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    paths.retain(|path| path.extension().is_some_and(|end| end == "npy") && path.to_string_lossy().contains(word));
    paths.sort();
    for path in paths {
        let name = path.file_stem().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        writeln!(io::stdout(), "{}", line(&name, &instances::read(&path)?)?)?;
    }
    Ok(())
}

fn line(name: &str, table: &Table) -> Result<String, Box<dyn Error>> {
    let Shape { slots, items } = table.shape();
    let (value, mut figures) = ours::totals(table)?;
    figures.extend(ours::ends(table)?);
    figures.extend(peers::totals(table, value)?);
    let mut line = format!("{{\"name\": \"{name}\", \"slots\": {slots}, \"items\": {items}, \"value\": {value}");
    for (name, took) in figures {
        write!(line, ", \"{name}\": {took}")?;
    }
    line.push('}');
    Ok(line)
}
