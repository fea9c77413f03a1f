//! A joint proof as text: one line a step.
//!
//! ```text
//! pairwright joint proof 1
//! like 3                       the next outer choice is like outer choice 3
//! windows                      the next outer choice, window by window:
//! to 12 40                     windows whose largest value (of squares about the mean: the sum) is from 12 to 40
//! split 2 first                slot 2 takes one of its first items; what follows closes each in turn
//! short second 0 1             slots 0 and 1 have too few second items between them
//! cover first 3 second 0 2     every triple has first item 3, or second item 0 or 2: fewer items than slots
//! seat first 5                 first item 5 goes to one of its slots
//! total                        the known total is missed
//! costs                        the least costs of all slots come to too much
//! ```

use super::{JointProof, OuterProof, Segment, Side, Step};
use crate::text::ParseError;
use crate::{Item, Outer, Slot};
use std::fmt::{Display, Write};
use std::str::FromStr;

const FIRST_LINE: &str = "pairwright joint proof 1";

/// A joint proof as text, the same everywhere; [`parse_joint_proof`] reads it back.
///
/// ```
/// use pairwright_proof::{JointProof, OuterProof, parse_joint_proof, write_joint_proof};
/// let proof = JointProof { outers: vec![OuterProof::Windows(Vec::new())] };
/// assert_eq!(parse_joint_proof(&write_joint_proof(&proof)), Ok(proof));
/// ```
pub fn write_joint_proof(proof: &JointProof) -> String {
    let mut text = format!("{FIRST_LINE}\n");
    for outer in &proof.outers {
        let lines = match outer {
            OuterProof::Like(other) => format!("like {other}\n"),
            OuterProof::Windows(segments) => format!("windows\n{}", segments.iter().map(segment).collect::<String>()),
        };
        text.push_str(&lines);
    }
    text
}

fn segment(segment: &Segment) -> String {
    let mut text = format!("to {} {}\n", segment.from, segment.to);
    for step in &segment.steps {
        let line = match step {
            Step::Total => "total".to_owned(),
            Step::Costs => "costs".to_owned(),
            Step::Split { slot, side } => format!("split {slot} {}", word(*side)),
            Step::Seat { side, item } => format!("seat {} {item}", word(*side)),
            Step::Short { side, slots } => format!("short {}{}", word(*side), listed(slots)),
            Step::Cover { first, second } => format!("cover first{} second{}", listed(first), listed(second)),
        };
        text.push_str(&line);
        text.push('\n');
    }
    text
}

/// Numbers, each behind a space.
fn listed<T: Display>(numbers: &[T]) -> String {
    numbers.iter().fold(String::new(), |mut text, number| {
        write!(text, " {number}").expect("a string takes all");
        text
    })
}

const fn word(side: Side) -> &'static str {
    match side {
        Side::First => "first",
        Side::Second => "second",
    }
}

/// The joint proof that a text says.
///
/// # Errors
/// [`ParseError`] with the first line that is wrong.
pub fn parse_joint_proof(text: &str) -> Result<JointProof, ParseError> {
    let mut lines = text.lines().enumerate();
    let wrong = |at: usize, expected, line: &str| ParseError::Line { line: at + 1, expected, found: line.to_owned() };
    let expected = "the first line of a joint proof";
    match lines.next() {
        Some((_, FIRST_LINE)) => {}
        Some((at, line)) => return Err(wrong(at, expected, line)),
        None => return Err(ParseError::End { expected }),
    }
    let mut outers = Vec::new();
    for (at, line) in lines {
        let words: Vec<&str> = line.split_whitespace().collect();
        let taken = take(&words, &mut outers);
        taken.ok_or_else(|| wrong(at, "an outer choice, windows or a step", line))?;
    }
    Ok(JointProof { outers })
}

fn take(words: &[&str], outers: &mut Vec<OuterProof>) -> Option<()> {
    match words {
        ["like", other] => outers.push(OuterProof::Like(Outer::new(number(other)?))),
        ["windows"] => outers.push(OuterProof::Windows(Vec::new())),
        ["to", from, to] => {
            let Some(OuterProof::Windows(segments)) = outers.last_mut() else { return None };
            segments.push(Segment { from: number(from)?, to: number(to)?, steps: Vec::new() });
        }
        _ => {
            let Some(OuterProof::Windows(segments)) = outers.last_mut() else { return None };
            segments.last_mut()?.steps.push(step(words)?);
        }
    }
    Some(())
}

fn step(words: &[&str]) -> Option<Step> {
    Some(match words {
        ["total"] => Step::Total,
        ["costs"] => Step::Costs,
        ["split", slot, kind] => Step::Split { slot: Slot::new(number(slot)?), side: side(kind)? },
        ["seat", kind, item] => Step::Seat { side: side(kind)?, item: Item::new(number(item)?) },
        ["short", kind, slots @ ..] => Step::Short { side: side(kind)?, slots: numbers(slots, Slot::new)? },
        ["cover", "first", items @ ..] => {
            let at = items.iter().position(|&word| word == "second")?;
            let (first, second) = (&items[..at], &items[at + 1..]);
            Step::Cover { first: numbers(first, Item::new)?, second: numbers(second, Item::new)? }
        }
        _ => return None,
    })
}

fn side(word: &str) -> Option<Side> {
    match word {
        "first" => Some(Side::First),
        "second" => Some(Side::Second),
        _ => None,
    }
}

fn numbers<T>(words: &[&str], named: impl Fn(u32) -> T) -> Option<Vec<T>> {
    words.iter().map(|word| Some(named(number(word)?))).collect()
}

fn number<T: FromStr>(word: &str) -> Option<T> {
    word.parse().ok()
}
