//! A proof as text: one line a step, steps inside a step follow it.
//!
//! ```text
//! pairwright proof 1
//! level 12                     the best value of the first criterion
//! windows level 0 2            its spread, by two stretches of smallest values
//! to 40                        up to 40:
//! slots 0 2 | 5                slots 0 and 2 have only item 5
//! to 9223372036854775807       and from there on:
//! slots 1 |                    slot 1 has nothing
//! ```
//!
//! A level with a choice of its own that reaches its value has it on a line `choice`. `prices LEVEL` and `sums LEVEL
//! COUNT` with `to UNTIL about
//! SUM` are followed by a line `slots` of prices and a line `items` of `item=price`; after `open` instead of `shut`
//! stands
//! the step that refutes the rest. The text of a proof is the same everywhere.

use crate::proof::{Level, Narrow, Prices, Proof, Refutation, SumRun, WindowRun};
use crate::verify::DEEPEST;
use crate::{Choice, Item, Slot};
use std::fmt::{Display, Write};
use std::str::FromStr;

const FIRST_LINE: &str = "pairwright proof 1";

/// A proof as text.
pub fn write_proof(proof: &Proof) -> String {
    let mut text = format!("{FIRST_LINE}\n");
    for level in &proof.levels {
        line(&mut text, &format!("level {}", level.best));
        if let Some(witness) = &level.witness {
            line(&mut text, &format!("choice{}", spaced(witness.items())));
        }
        write_step(&mut text, &level.reason);
    }
    text
}

fn line(text: &mut String, line: &str) {
    text.push_str(line);
    text.push('\n');
}

pub(crate) fn spaced<T: Display>(all: &[T]) -> String {
    let mut text = String::new();
    for one in all {
        write!(text, " {one}").expect("a string takes all");
    }
    text
}

fn write_step(text: &mut String, step: &Refutation) {
    match step {
        Refutation::Never => line(text, "never"),
        Refutation::Slots { slots, items } => line(text, &format!("slots{} |{}", spaced(slots), spaced(items))),
        Refutation::Items { items, slots } => line(text, &format!("items{} |{}", spaced(items), spaced(slots))),
        Refutation::Prices { level, prices, then } => {
            line(text, &format!("prices {level} {}", door(then.as_deref())));
            write_prices(text, prices, then.as_deref());
        }
        Refutation::Sums { level, runs } => {
            line(text, &format!("sums {level} {}", runs.len()));
            for SumRun { until, about, prices, then } in runs {
                line(text, &format!("to {until} about {about} {}", door(then.as_deref())));
                write_prices(text, prices, then.as_deref());
            }
        }
        Refutation::Windows { of, runs } => {
            let of = match of {
                Narrow::Level(level) => format!("level {level}"),
                Narrow::Window(window) => format!("window {window}"),
            };
            line(text, &format!("windows {of} {}", runs.len()));
            for WindowRun { until, reason } in runs {
                line(text, &format!("to {until}"));
                write_step(text, reason);
            }
        }
    }
}

fn door(then: Option<&Refutation>) -> &'static str {
    if then.is_some() { "open" } else { "shut" }
}

fn write_prices(text: &mut String, prices: &Prices, then: Option<&Refutation>) {
    let items: Vec<String> = prices.items.iter().map(|(item, price)| format!("{item}={price}")).collect();
    line(text, &format!("slots{}", spaced(&prices.slots)));
    line(text, &format!("items{}", spaced(&items)));
    if let Some(then) = then {
        write_step(text, then);
    }
}

/// Why a text is no proof.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum ParseError {
    /// A line is not what has to stand there.
    #[error("line {line}: expected {expected}, found \"{found}\"")]
    Line {
        /// Its number, counted from 1.
        line: usize,
        /// What had to stand there.
        expected: &'static str,
        /// What stands there.
        found: String,
    },
    /// The text ends too early.
    #[error("the text ends where {expected} is expected")]
    End {
        /// What had to stand there.
        expected: &'static str,
    },
    /// Too many steps inside each other.
    #[error("line {line}: too many steps stand inside each other")]
    Deep {
        /// The number of the line, counted from 1.
        line: usize,
    },
}

/// The proof that a text says.
///
/// # Errors
/// [`ParseError`] with the first line that is wrong.
pub fn parse_proof(text: &str) -> Result<Proof, ParseError> {
    let mut lines = Lines { rest: text.lines().enumerate().peekable() };
    lines.take("the first line of a proof", |line| (line == FIRST_LINE).then_some(()))?;
    let mut levels = Vec::new();
    while lines.rest.peek().is_some() {
        let best = lines.take("a level", |line| number(line.strip_prefix("level ")?))?;
        let is_choice = lines.rest.peek().is_some_and(|(_, line)| line.starts_with("choice"));
        let witness = if is_choice { Some(lines.take("a choice", choice)?) } else { None };
        levels.push(Level { best, witness, reason: lines.step(DEEPEST)? });
    }
    Ok(Proof { levels })
}

fn number<T: FromStr>(word: &str) -> Option<T> {
    word.parse().ok()
}

fn choice(line: &str) -> Option<Choice> {
    Some(Choice::new(numbered(line.strip_prefix("choice")?, Item::new)?))
}

pub(crate) fn numbered<T>(words: &str, make: impl Fn(u32) -> T) -> Option<Vec<T>> {
    words.split_whitespace().map(|word| number(word).map(&make)).collect()
}

struct Lines<'a> {
    rest: std::iter::Peekable<std::iter::Enumerate<std::str::Lines<'a>>>,
}

/// The first line of a step, what follows it aside.
enum Start {
    Whole(Refutation),
    Prices(usize, bool),
    Sums(usize, usize),
    Windows(Narrow, usize),
}

impl Lines<'_> {
    fn take<T>(&mut self, expected: &'static str, read: impl Fn(&str) -> Option<T>) -> Result<T, ParseError> {
        let (at, line) = self.rest.next().ok_or(ParseError::End { expected })?;
        read(line).ok_or_else(|| ParseError::Line { line: at + 1, expected, found: line.to_owned() })
    }

    fn step(&mut self, depth: usize) -> Result<Refutation, ParseError> {
        let at = self.rest.peek().map_or(0, |&(at, _)| at + 1);
        let depth = depth.checked_sub(1).ok_or(ParseError::Deep { line: at })?;
        match self.take("a step", start)? {
            Start::Whole(step) => Ok(step),
            Start::Prices(level, is_open) => {
                let (prices, then) = self.prices(is_open, depth)?;
                Ok(Refutation::Prices { level, prices, then })
            }
            Start::Sums(level, count) => {
                let mut runs = Vec::new();
                for _ in 0..count {
                    let (until, about, is_open) = self.take("a stretch of sums", stretch)?;
                    let (prices, then) = self.prices(is_open, depth)?;
                    runs.push(SumRun { until, about, prices, then });
                }
                Ok(Refutation::Sums { level, runs })
            }
            Start::Windows(of, count) => {
                let mut runs = Vec::new();
                for _ in 0..count {
                    let until = self.take("a stretch of values", |line| number(line.strip_prefix("to ")?))?;
                    runs.push(WindowRun { until, reason: self.step(depth)? });
                }
                Ok(Refutation::Windows { of, runs })
            }
        }
    }

    fn prices(&mut self, is_open: bool, depth: usize) -> Result<(Prices, Option<Box<Refutation>>), ParseError> {
        let slots = self.take("prices of slots", |line| {
            line.strip_prefix("slots")?.split_whitespace().map(number).collect::<Option<Vec<i128>>>()
        })?;
        let items = self.take("prices of items", |line| {
            let priced = |word: &str| {
                let (item, price) = word.split_once('=')?;
                Some((Item::new(number(item)?), number(price)?))
            };
            line.strip_prefix("items")?.split_whitespace().map(priced).collect::<Option<Vec<_>>>()
        })?;
        let then = if is_open { Some(Box::new(self.step(depth)?)) } else { None };
        Ok((Prices { slots, items }, then))
    }
}

fn start(line: &str) -> Option<Start> {
    let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
    let words: Vec<&str> = rest.split_whitespace().collect();
    match (word, &words[..]) {
        ("never", []) => Some(Start::Whole(Refutation::Never)),
        ("slots", _) => {
            let (slots, items) = rest.split_once('|')?;
            let (slots, items) = (numbered(slots, Slot::new)?, numbered(items, Item::new)?);
            Some(Start::Whole(Refutation::Slots { slots, items }))
        }
        ("items", _) => {
            let (items, slots) = rest.split_once('|')?;
            let (slots, items) = (numbered(slots, Slot::new)?, numbered(items, Item::new)?);
            Some(Start::Whole(Refutation::Items { items, slots }))
        }
        ("prices", [level, door]) => Some(Start::Prices(number(level)?, is_open(door)?)),
        ("sums", [level, count]) => Some(Start::Sums(number(level)?, number(count)?)),
        ("windows", ["level", level, count]) => Some(Start::Windows(Narrow::Level(number(level)?), number(count)?)),
        ("windows", ["window", window, count]) => Some(Start::Windows(Narrow::Window(number(window)?), number(count)?)),
        _ => None,
    }
}

fn stretch(line: &str) -> Option<(i128, i128, bool)> {
    match line.split_whitespace().collect::<Vec<_>>()[..] {
        ["to", until, "about", about, door] => Some((number(until)?, number(about)?, is_open(door)?)),
        _ => None,
    }
}

fn is_open(door: &str) -> Option<bool> {
    match door {
        "open" => Some(true),
        "shut" => Some(false),
        _ => None,
    }
}
