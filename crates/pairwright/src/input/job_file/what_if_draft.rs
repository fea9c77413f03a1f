//! What a `[[what_if]]` says, names as typed.

use std::ops::Range;

use pairwright_engine::job::{Aim, Next};
use pairwright_engine::quantity::Amount;

use super::At;
use super::draft::{LimitDraft, PinDraft};

/// A part by kind and label.
pub(in crate::input) type Named = (At<String>, At<String>);

#[derive(Debug)]
pub(in crate::input) struct WhatIfDraft {
    /// Where none is typed, `what-if 1` and so on, at the section's head.
    pub(in crate::input) name: At<String>,
    pub(in crate::input) span: Range<usize>,
    pub(in crate::input) with: Vec<At<String>>,
    /// `match`: the match that aims, limits and fixed parts belong to, where the section says so.
    pub(in crate::input) matching: Option<At<String>>,
    pub(in crate::input) fix: Vec<PinDraft>,
    pub(in crate::input) swap: Vec<SwapDraft>,
    pub(in crate::input) without: Vec<Named>,
    pub(in crate::input) add: Vec<AddDraft>,
    pub(in crate::input) decks: Vec<DeckCutDraft>,
    pub(in crate::input) crowns: Vec<CrownDraft>,
    pub(in crate::input) chambers: Vec<ChamberDraft>,
    pub(in crate::input) stroke: Option<At<Amount>>,
    pub(in crate::input) rod_length: Option<At<Amount>>,
    pub(in crate::input) lobe_lift: Vec<LobeDraft>,
    pub(in crate::input) limits: Vec<LimitDraft>,
    pub(in crate::input) aim: Option<At<Aim>>,
    pub(in crate::input) then: Option<At<Vec<Next>>>,
    pub(in crate::input) price: Option<Amount>,
    pub(in crate::input) hours: Option<Amount>,
}

/// `swap = { head = ["left", "right"] }`.
#[derive(Debug)]
pub(in crate::input) struct SwapDraft {
    pub(in crate::input) kind: At<String>,
    pub(in crate::input) banks: [At<String>; 2],
}

/// `add = { piston = ["L"] }`, or `add = { gasket = "more-gaskets.csv" }`.
#[derive(Debug)]
pub(in crate::input) enum AddDraft {
    /// Parts of the stock that it keeps out of every place.
    Part(Named),
    /// A file with more parts.
    File { kind: At<String>, file: At<String> },
}

/// `deck = { left = 0.004 }`, `{ left = "square" }`, or both.
#[derive(Debug)]
pub(in crate::input) struct DeckCutDraft {
    pub(in crate::input) bank: At<String>,
    pub(in crate::input) cut: Option<Amount>,
    pub(in crate::input) square: bool,
}

/// `crown = { C = 0.002 }`, with `dish_cc` or `dish_diameter` where the piston has a dish.
#[derive(Debug)]
pub(in crate::input) struct CrownDraft {
    pub(in crate::input) piston: At<String>,
    pub(in crate::input) cut: At<Amount>,
    pub(in crate::input) dish: Option<Amount>,
    pub(in crate::input) diameter: Option<Amount>,
}

/// `chamber = { H1 = "-0.5 cc" }` for all of them, or `{ H1 = { "2" = "-0.5 cc" } }`.
#[derive(Debug)]
pub(in crate::input) struct ChamberDraft {
    pub(in crate::input) head: At<String>,
    /// Counted from 1, as typed; `None` is every chamber.
    pub(in crate::input) chamber: Option<At<String>>,
    pub(in crate::input) by: Amount,
}

/// `lobe_lift = 0.320`, or `{ "1" = 0.320 }` by position.
#[derive(Debug)]
pub(in crate::input) struct LobeDraft {
    pub(in crate::input) position: Option<At<String>>,
    pub(in crate::input) lift: At<Amount>,
}
