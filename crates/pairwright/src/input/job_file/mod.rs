//! The job file: TOML to a [`Draft`] whose names are not yet resolved.
//!
//! The table is walked by hand, one reader a section, so that every mistake is found in one go and
//! every value keeps its place and its text as typed.

mod aim;
mod banks;
mod buying;
mod clearance;
mod columns;
mod draft;
pub(super) mod example;
mod files;
mod fits;
mod limits;
mod matching;
mod misplaced;
mod once;
mod pins;
mod place;
mod read;
mod readings;
mod syntax;
mod walk;
mod what_if;
mod what_if_draft;

pub(super) use draft::{At, BankDraft, ChambersDraft, DeckDraft, Draft, FileDraft, MatchDraft, PinDraft, Section};
pub(super) use place::is_reserved;
pub(super) use read::{Headings, read};
pub(super) use what_if_draft::{AddDraft, ChamberDraft, CrownDraft, DeckCutDraft, LobeDraft, SwapDraft, WhatIfDraft};
