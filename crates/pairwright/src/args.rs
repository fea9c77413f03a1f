//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand, ValueEnum};

use crate::render::Order;

/// Decides which measured part goes in which position, and proves that no better choice exists.
#[derive(Clone, Debug, Parser)]
#[command(name = "pairwright", version, after_help = AFTER_HELP, after_long_help = AFTER_HELP)]
pub struct Arguments {
    /// What to do.
    #[command(subcommand)]
    pub command: Command,
}

const AFTER_HELP: &str = "\
Examples:
  pairwright check my-engine            what is wrong with the job, and what is missing
  pairwright match my-engine            the most even choice, proven, with its reasons
  pairwright match my-engine --format json > plan.json
  pairwright compare my-engine          every what-if of the job, planned and laid side by side
  pairwright pile my-engine --more 20,50  what twenty or fifty more parts would gain

Exit status: 0 done; 1 no plan, a limit is not held, or something is missing for the match;
2 the input or the call is wrong or contradicts itself.

A job is a folder with job.toml and CSV files; docs/job-file.md describes it.
No file of yours is ever changed.";

/// What to do.
#[derive(Clone, Debug, Subcommand)]
pub enum Command {
    /// Decide which part goes in which position
    Match(MatchArguments),
    /// Validate a job: everything that is wrong, and what a match would still need
    Check(CheckArguments),
    /// Plan every what-if of a job and lay them side by side
    Compare(CompareArguments),
    /// Say what more parts of a kind would gain, and how many a wish would take
    Pile(PileArguments),
    /// Go over a plan and its proof, or a proof that there is none, written by `match --proof`, without solving anything
    Recheck(RecheckArguments),
}

/// Arguments of `match`.
#[derive(Clone, Debug, Args)]
pub struct MatchArguments {
    /// The job folder, or its job.toml
    pub job: PathBuf,
    /// Only the match with this name; those before it are planned, too, for the parts that they take
    #[arg(long, value_name = "NAME")]
    pub only: Option<String>,
    /// How to print the answer
    #[arg(long, value_enum, default_value_t = Format::Text)]
    pub format: Format,
    /// Also write the plan with its proof, or the proof that there is none, to a new file, for `recheck`
    #[arg(long, value_name = "FILE")]
    pub proof: Option<PathBuf>,
    /// How it looks.
    #[command(flatten)]
    pub look: Look,
}

/// Arguments of `check`.
#[derive(Clone, Debug, Args)]
pub struct CheckArguments {
    /// The job folder, or its job.toml
    pub job: PathBuf,
    /// How to print what is found
    #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
    pub format: CheckFormat,
    /// How it looks.
    #[command(flatten)]
    pub look: Look,
}

/// Arguments of `compare`.
#[derive(Clone, Debug, Args)]
pub struct CompareArguments {
    /// The job folder, or its job.toml
    pub job: PathBuf,
    /// Only the what-if with this name; may be given several times
    #[arg(long, value_name = "NAME")]
    pub only: Vec<String>,
    /// The match to compare; the first where the job has several
    #[arg(long = "match", value_name = "NAME")]
    pub matching: Option<String>,
    /// The order of the what-ifs
    #[arg(long, value_enum, default_value_t = Order::Job)]
    pub sort: Order,
    /// Also say how much more lift, less gasket or higher pistons each clearance of the ledger allows
    #[arg(long)]
    pub headroom: bool,
    /// How to print the answer
    #[arg(long, value_enum, default_value_t = CompareFormat::Text)]
    pub format: CompareFormat,
    /// How it looks.
    #[command(flatten)]
    pub look: Look,
}

/// Arguments of `pile`.
#[derive(Clone, Debug, Args)]
pub struct PileArguments {
    /// The job folder, or its job.toml
    pub job: PathBuf,
    /// The match to gather parts for; needed where the job has several
    #[arg(long, value_name = "NAME")]
    pub only: Option<String>,
    /// The kind to gather, where the match places two in every position; without this the text goes through both
    #[arg(long, value_name = "KIND")]
    pub kind: Option<String>,
    /// How many parts more to look at, each in turn: whole numbers with commas between them (`--more 10,50`); 10, 25, 50 and 100 unless said,
    /// as far as they can be looked at
    #[arg(long, value_name = "NUMBERS", value_delimiter = ',', allow_negative_numbers = true, value_parser = number_of_parts)]
    pub more: Vec<usize>,
    /// How many parts more it takes to reach this value of the aim, in the unit that is printed: a total is that over all positions; of
    /// what counts first, where the match has `first`
    #[arg(long, value_name = "VALUE", allow_negative_numbers = true, value_parser = plain_number)]
    pub reach: Option<f64>,
    /// What a part that is found costs where the plan uses it, for a match with `first` or `spend`; without this it costs nothing
    #[arg(long, value_name = "MONEY", allow_negative_numbers = true, value_parser = price)]
    pub price: Option<f64>,
    /// How to print the answer
    #[arg(long, value_enum, default_value_t = CheckFormat::Text)]
    pub format: CheckFormat,
    /// How it looks.
    #[command(flatten)]
    pub look: Look,
}

/// Arguments of `recheck`.
#[derive(Clone, Debug, Args)]
pub struct RecheckArguments {
    /// The job folder, or its job.toml
    pub job: PathBuf,
    /// The file written by `match --proof`
    pub plan: PathBuf,
    /// How it looks.
    #[command(flatten)]
    pub look: Look,
}

/// How text looks.
#[derive(Clone, Copy, Debug, Args)]
pub struct Look {
    /// Columns to use; the terminal's width, else 80
    #[arg(long, value_name = "COLUMNS", value_parser = clap::value_parser!(u16).range(20..=400))]
    pub width: Option<u16>,
    /// When to colour; meaning is never in colour alone
    #[arg(long, value_enum, default_value_t = When::Auto)]
    pub color: When,
}

/// Output formats of `match`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum Format {
    /// For people
    Text,
    /// For programs: format 1, see docs/match.schema.json
    Json,
    /// For spreadsheets: a row a placement
    Csv,
}

/// Output formats of `compare`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CompareFormat {
    /// For people
    Text,
    /// For programs: format 1, see docs/compare.schema.json
    Json,
    /// For spreadsheets: a row a plan
    Csv,
}

/// Output formats of `check`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum CheckFormat {
    /// For people
    Text,
    /// For programs
    Json,
}

/// When to do something optional.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum When {
    /// On a terminal
    Auto,
    /// Always
    Always,
    /// Never
    Never,
}

/// So many more parts are drawn at most.
const MOST_PARTS: usize = 100_000;

fn number_of_parts(text: &str) -> Result<usize, String> {
    let number = text.trim().parse().ok().filter(|&number| number <= MOST_PARTS);
    number.ok_or_else(|| {
        format!("whole numbers from 0 to {MOST_PARTS} are expected here, with commas between them, such as 10,50")
    })
}

fn plain_number(text: &str) -> Result<f64, String> {
    let number = text.trim().parse().ok().filter(|number: &f64| number.is_finite());
    number.ok_or_else(|| {
        "a number in the job's unit is expected here, without the unit, such as 0.012 or 84.5".to_owned()
    })
}

fn price(text: &str) -> Result<f64, String> {
    let number = text.trim().parse().ok().filter(|number: &f64| (0.0..1e9).contains(number));
    number.ok_or_else(|| "a price is expected here, 0 or more, without its currency, such as 3.40".to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_says_what_is_expected() {
        assert_eq!(plain_number("-0.5"), Ok(-0.5));
        for wrong in ["90 mm", "nan", ""] {
            assert!(plain_number(wrong).is_err_and(|said| said.contains("a number in the job's unit")), "{wrong}");
        }
        assert_eq!(price("3.40"), Ok(3.4));
        for wrong in ["-1", "3 EUR", "inf", ""] {
            assert!(price(wrong).is_err_and(|said| said.contains("a price is expected")), "{wrong}");
        }
        assert_eq!(number_of_parts("10"), Ok(10));
        for text in ["x", "-5", "100001"] {
            assert!(number_of_parts(text).is_err_and(|said| said.contains("whole numbers from 0 to 100000")));
        }
    }
}
