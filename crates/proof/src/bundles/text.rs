//! A proof about bundles as text: one line a step.
//!
//! ```text
//! pairwright bundles proof 1
//! tops 40 52                   the greatest value is at most 40; else at most 52; else above: a node each
//! short 0 2                    slots 0 and 2 have fewer items between them than they take
//! sums 900 1000                so for the sum of all values
//! prices 8 950 3=-2 7=-5       costs eight times, about 950; prices of items 3 and 7
//! each 1                       slot 1 takes one of its bundles; what follows closes each in turn
//! seat 4                       item 4 goes to one of its slots
//! ```

use super::proof::{SeveralProof, SeveralStep};
use crate::text::{ParseError, numbered, spaced};
use crate::{Item, Slot};
use std::str::FromStr;

const FIRST_LINE: &str = "pairwright bundles proof 1";

/// A proof about bundles as text, the same everywhere; [`parse_several_proof`] reads it back.
///
/// ```
/// use pairwright_proof::{Item, SeveralProof, SeveralStep, Slot, parse_several_proof, write_several_proof};
/// let proof = SeveralProof { steps: vec![SeveralStep::Each(Slot::new(1)), SeveralStep::Seat(Item::new(4))] };
/// assert_eq!(write_several_proof(&proof), "pairwright bundles proof 1\neach 1\nseat 4\n");
/// assert_eq!(parse_several_proof(&write_several_proof(&proof)), Ok(proof));
/// ```
pub fn write_several_proof(proof: &SeveralProof) -> String {
    let lines = proof.steps.iter().map(|step| match step {
        SeveralStep::Short(slots) => format!("short{}\n", spaced(slots)),
        SeveralStep::Prices { scale, about, items } => {
            let items: Vec<String> = items.iter().map(|(item, price)| format!("{item}={price}")).collect();
            format!("prices {scale} {about}{}\n", spaced(&items))
        }
        SeveralStep::Each(slot) => format!("each {slot}\n"),
        SeveralStep::Seat(item) => format!("seat {item}\n"),
        SeveralStep::Tops(cuts) => format!("tops{}\n", spaced(cuts)),
        SeveralStep::Sums(cuts) => format!("sums{}\n", spaced(cuts)),
    });
    [format!("{FIRST_LINE}\n")].into_iter().chain(lines).collect()
}

/// The proof that a text says.
///
/// # Errors
/// [`ParseError`] with the first line that is wrong.
pub fn parse_several_proof(text: &str) -> Result<SeveralProof, ParseError> {
    let mut lines = text.lines();
    let expected = "the first line of a proof about bundles";
    match lines.next() {
        None => return Err(ParseError::End { expected }),
        Some(FIRST_LINE) => {}
        Some(found) => return Err(ParseError::Line { line: 1, expected, found: found.to_owned() }),
    }
    let read = |(at, line): (usize, &str)| {
        step(line).ok_or_else(|| ParseError::Line { line: at + 2, expected: "a step", found: line.to_owned() })
    };
    Ok(SeveralProof { steps: lines.enumerate().map(read).collect::<Result<_, _>>()? })
}

fn step(line: &str) -> Option<SeveralStep> {
    let (word, rest) = line.split_once(' ').unwrap_or((line, ""));
    match word {
        "short" => Some(SeveralStep::Short(numbered(rest, Slot::new)?)),
        "each" => Some(SeveralStep::Each(Slot::new(number(rest)?))),
        "seat" => Some(SeveralStep::Seat(Item::new(number(rest)?))),
        "tops" => Some(SeveralStep::Tops(numbers(rest)?)),
        "sums" => Some(SeveralStep::Sums(numbers(rest)?)),
        "prices" => {
            let mut words = rest.split_whitespace();
            let (scale, about) = (number(words.next()?)?, number(words.next()?)?);
            let priced = |word: &str| {
                let (item, price) = word.split_once('=')?;
                Some((Item::new(number(item)?), number(price)?))
            };
            Some(SeveralStep::Prices { scale, about, items: words.map(priced).collect::<Option<_>>()? })
        }
        _ => None,
    }
}

fn number<T: FromStr>(word: &str) -> Option<T> {
    word.parse().ok()
}

fn numbers<T: FromStr>(words: &str) -> Option<Vec<T>> {
    words.split_whitespace().map(number).collect()
}
