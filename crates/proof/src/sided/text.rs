//! A proof under side conditions as text: one line a step.
//!
//! ```text
//! pairwright sided proof 1
//! level 12                           the best value of the first criterion, and its tree:
//! halve level 0 40                   all values up to 40 and the width; then all above 40
//! slots 0 2                          slots 0 and 2 have too few items between them
//! split 1                            slot 1 takes one of its items; what follows closes each in turn
//! items 4 5                          items 4 and 5 must be used and have too few slots
//! prices most 0 1 + level 0 3        the first total once and the first level three times:
//! of slots 4 -2 0                    their prices
//! of items 3=-1 5=-7
//! ```
//!
//! `impossible` instead of `level` stands over the tree of a problem without a choice; a line `choice` after a level has a
//! choice of its own that reaches its value.

use super::{Held, SidedLevel, SidedProof, SidedStep};
use crate::text::{ParseError, numbered, spaced};
use crate::{Choice, Item, Prices, Slot};
use std::str::FromStr;

const FIRST_LINE: &str = "pairwright sided proof 1";

/// A proof under side conditions as text, the same everywhere; [`parse_sided_proof`] reads it back.
///
/// ```
/// use pairwright_proof::{SidedProof, SidedStep, Slot, parse_sided_proof, write_sided_proof};
/// let proof = SidedProof::Impossible(vec![SidedStep::Slots(vec![Slot::new(0), Slot::new(2)])]);
/// assert_eq!(write_sided_proof(&proof), "pairwright sided proof 1\nimpossible\nslots 0 2\n");
/// assert_eq!(parse_sided_proof(&write_sided_proof(&proof)), Ok(proof));
/// ```
pub fn write_sided_proof(proof: &SidedProof) -> String {
    let mut text = format!("{FIRST_LINE}\n");
    match proof {
        SidedProof::Impossible(steps) => {
            text.push_str("impossible\n");
            text.extend(steps.iter().map(step_lines));
        }
        SidedProof::Levels(levels) => {
            for level in levels {
                let best = format!("level {}\n", level.best);
                let witness = level.witness.as_ref().map(|witness| format!("choice{}\n", spaced(witness.items())));
                text.extend([best].into_iter().chain(witness).chain(level.steps.iter().map(step_lines)));
            }
        }
    }
    text
}

fn step_lines(step: &SidedStep) -> String {
    match step {
        SidedStep::Slots(slots) => format!("slots{}\n", spaced(slots)),
        SidedStep::Items(items) => format!("items{}\n", spaced(items)),
        SidedStep::Split(slot) => format!("split {slot}\n"),
        SidedStep::Halve { of, at } => format!("halve {} {at}\n", word(*of)),
        SidedStep::Prices { of, prices } => {
            let of: Vec<String> = of.iter().map(|(name, weight)| format!("{} {weight}", word(*name))).collect();
            let items: Vec<String> = prices.items.iter().map(|(item, price)| format!("{item}={price}")).collect();
            let (slots, items) = (spaced(&prices.slots), spaced(&items));
            format!("prices {}\nof slots{slots}\nof items{items}\n", of.join(" + "))
        }
    }
}

fn word(held: Held) -> String {
    match held {
        Held::Level(at) => format!("level {at}"),
        Held::Window(at) => format!("window {at}"),
        Held::Least(at) => format!("least {at}"),
        Held::Most(at) => format!("most {at}"),
    }
}

/// The proof under side conditions that a text says.
///
/// # Errors
/// [`ParseError`] with the first line that is wrong.
pub fn parse_sided_proof(text: &str) -> Result<SidedProof, ParseError> {
    let mut lines = Lines { rest: text.lines().enumerate().peekable() };
    lines.take("the first line of a proof under side conditions", |line| (line == FIRST_LINE).then_some(()))?;
    if lines.rest.next_if(|&(_, line)| line == "impossible").is_some() {
        let steps = lines.steps()?;
        lines.end()?;
        return Ok(SidedProof::Impossible(steps));
    }
    let mut levels = Vec::new();
    while lines.rest.peek().is_some() {
        let best = lines.take("a level", |line| number(line.strip_prefix("level ")?))?;
        let is_choice = lines.rest.peek().is_some_and(|(_, line)| line.starts_with("choice"));
        let choice = |line: &str| Some(Choice::new(numbered(line.strip_prefix("choice")?, Item::new)?));
        let witness = if is_choice { Some(lines.take("a choice", choice)?) } else { None };
        levels.push(SidedLevel { best, witness, steps: lines.steps()? });
    }
    Ok(SidedProof::Levels(levels))
}

struct Lines<'a> {
    rest: std::iter::Peekable<std::iter::Enumerate<std::str::Lines<'a>>>,
}

impl Lines<'_> {
    fn take<T>(&mut self, expected: &'static str, read: impl Fn(&str) -> Option<T>) -> Result<T, ParseError> {
        let (at, line) = self.rest.next().ok_or(ParseError::End { expected })?;
        read(line).ok_or_else(|| ParseError::Line { line: at + 1, expected, found: line.to_owned() })
    }

    fn end(&mut self) -> Result<(), ParseError> {
        if self.rest.peek().is_none() { Ok(()) } else { self.take("a step", |_| None) }
    }

    /// All steps up to the next level.
    fn steps(&mut self) -> Result<Vec<SidedStep>, ParseError> {
        let mut steps = Vec::new();
        while self.rest.peek().is_some_and(|(_, line)| !line.starts_with("level ")) {
            let mut step = self.take("a step", step)?;
            if let SidedStep::Prices { prices, .. } = &mut step {
                prices.slots = self.take("prices of slots", |line| {
                    line.strip_prefix("of slots")?.split_whitespace().map(number).collect::<Option<_>>()
                })?;
                prices.items = self.take("prices of items", |line| {
                    line.strip_prefix("of items")?.split_whitespace().map(priced).collect::<Option<_>>()
                })?;
            }
            steps.push(step);
        }
        Ok(steps)
    }
}

fn priced(word: &str) -> Option<(Item, i128)> {
    let (item, price) = word.split_once('=')?;
    Some((Item::new(number(item)?), number(price)?))
}

/// A step; of prices its first line.
fn step(line: &str) -> Option<SidedStep> {
    let (first, rest) = line.split_once(' ').unwrap_or((line, ""));
    Some(match (first, &rest.split_whitespace().collect::<Vec<_>>()[..]) {
        ("slots", _) => SidedStep::Slots(numbered(rest, Slot::new)?),
        ("items", _) => SidedStep::Items(numbered(rest, Item::new)?),
        ("split", [slot]) => SidedStep::Split(Slot::new(number(slot)?)),
        ("halve", [kind, place, at]) => SidedStep::Halve { of: held(kind, place)?, at: number(at)? },
        ("prices", _) => {
            let of = rest.split(" + ").map(weighted).collect::<Option<_>>()?;
            SidedStep::Prices { of, prices: Prices::default() }
        }
        _ => return None,
    })
}

fn weighted(words: &str) -> Option<(Held, i128)> {
    match words.split_whitespace().collect::<Vec<_>>()[..] {
        [kind, place, weight] => Some((held(kind, place)?, number(weight)?)),
        _ => None,
    }
}

fn held(kind: &str, place: &str) -> Option<Held> {
    let place = number(place)?;
    match kind {
        "level" => Some(Held::Level(place)),
        "window" => Some(Held::Window(place)),
        "least" => Some(Held::Least(place)),
        "most" => Some(Held::Most(place)),
        _ => None,
    }
}

fn number<T: FromStr>(word: &str) -> Option<T> {
    word.parse().ok()
}
