//! The changes of one what-if.

use std::ops::Range;

use pairwright_engine::job::{BoundOf, Change, FitName, Matching, Scope};

use super::Made;
use super::cuts;
use crate::diagnostic::{Code, Diagnostic};
use crate::input::job_file::{AddDraft, At, LobeDraft, SwapDraft, WhatIfDraft};
use crate::input::load::Reading;
use crate::input::names::Ids;
use crate::input::nearest::{listed, remedy};
use crate::input::pins;
use crate::input::resolve::{Names, Resolved};
use crate::input::stock::unknown_part;

/// Everything that the section changes, but for the files that it adds.
pub(super) fn changes(
    names: &Names<'_>,
    matches: &[Resolved<'_>],
    draft: &WhatIfDraft,
    reading: &mut Reading,
) -> Vec<Made> {
    let mut one = One { names, matches, draft, reading, made: Vec::new() };
    one.fixed();
    draft.swap.iter().for_each(|swap| one.swap(swap));
    for (kind, label) in &draft.without {
        one.with_part(kind, label, |stock, part| Change::Without { stock, part });
    }
    for add in &draft.add {
        match add {
            AddDraft::Part((kind, label)) => one.admit(kind, label),
            AddDraft::File { kind, .. } => drop(one.stock(kind)),
        }
    }
    cuts::decks(&mut one);
    cuts::crowns(&mut one);
    cuts::chambers(&mut one);
    one.crank();
    draft.lobe_lift.iter().for_each(|lobe| one.lobe(lobe));
    one.wishes();
    one.made
}

/// One what-if being resolved.
pub(super) struct One<'a, 'n> {
    pub(super) names: &'a Names<'n>,
    matches: &'a [Resolved<'n>],
    pub(super) draft: &'a WhatIfDraft,
    pub(super) reading: &'a mut Reading,
    made: Vec<Made>,
}

impl<'n> One<'_, 'n> {
    pub(super) fn push(&mut self, change: Change, span: &Range<usize>) {
        self.made.push((change, span.clone()));
    }

    pub(super) fn refuse<T>(&mut self, code: Code, message: String, at: &At<T>, help: impl Into<String>) {
        let item = Diagnostic::wrong(code, message).at(self.names.job.place(at.span.clone()), "").help(help.into());
        self.reading.found.push(item);
    }

    /// The match that the section means: the one it names, else the only one that `may` be meant.
    fn matching(&mut self, at: &Range<usize>, may: impl Fn(&Resolved<'_>) -> bool) -> Option<usize> {
        let name = |resolved: &Resolved<'n>| resolved.matching.name.clone();
        if let Some(said) = &self.draft.matching {
            let found = self.matches.iter().position(|resolved| resolved.matching.name == said.value);
            if found.is_none() && self.matches.len() == self.names.draft.matches.len() {
                let known: Vec<String> = self.matches.iter().map(name).collect();
                let known: Vec<&str> = known.iter().map(String::as_str).collect();
                let help = remedy(&said.value, &known, "the matches are");
                self.refuse(Code::WhatIfUnknown, format!("there is no match `{}`", said.value), said, help);
            }
            return found;
        }
        let mut meant = (0..self.matches.len()).filter(|&index| may(&self.matches[index]));
        match (meant.next(), meant.next()) {
            (Some(only), None) => Some(only),
            (None, _) => (self.matches.len() == 1).then_some(0),
            (Some(_), Some(_)) => {
                let names: Vec<String> = self.matches.iter().map(name).collect();
                let names: Vec<&str> = names.iter().map(String::as_str).collect();
                let here = At { value: (), span: at.clone() };
                let help = format!("add `match` to the what-if: the matches are {}", listed(&names));
                self.refuse(Code::WhatIfUnknown, "several matches could be meant here".to_owned(), &here, help);
                None
            }
        }
    }

    /// The index of the stock of a kind.
    pub(super) fn stock(&mut self, kind: &At<String>) -> Option<usize> {
        let found = self.names.stocks.iter().position(|read| read.stock.kind == kind.value);
        if found.is_none() && !self.names.draft.is_refused(crate::input::job_file::Section::Stock) {
            let known: Vec<&str> = self.names.stocks.iter().map(|read| read.stock.kind.as_str()).collect();
            let help = remedy(&kind.value, &known, "there are stocks of");
            self.refuse(Code::WhatIfUnknown, format!("there is no stock of `{}`", kind.value), kind, help);
        }
        found
    }

    /// A part of the stock at `stock`.
    pub(super) fn part(&mut self, stock: usize, label: &At<String>) -> Option<usize> {
        let ids: &Ids<'_> = &self.names.ids[stock];
        let found = ids.find(&label.value);
        if found.is_none() && ids.trusted {
            let item = unknown_part(ids, &label.value).at(self.names.place(label), "");
            self.reading.found.push(item);
        }
        found
    }

    fn with_part(&mut self, kind: &At<String>, label: &At<String>, change: fn(usize, usize) -> Change) {
        if let Some(stock) = self.stock(kind)
            && let Some(part) = self.part(stock, label)
        {
            self.push(change(stock, part), &label.span);
        }
    }

    fn admit(&mut self, kind: &At<String>, label: &At<String>) {
        let Some(stock) = self.stock(kind) else { return };
        let Some(part) = self.part(stock, label) else { return };
        let kept_out = self.names.stocks[stock].stock.parts[part].fits.as_ref().is_some_and(Vec::is_empty);
        if kept_out {
            self.push(Change::Admit { stock, part }, &label.span);
        } else {
            let help =
                "write `none` into its `fits`, so that the job as it stands does without it, or take it out here";
            self.refuse(Code::WhatIfUseless, format!("`{}` is in the stock already", label.value), label, help);
        }
    }

    fn fixed(&mut self) {
        let draft = self.draft;
        for pin in &draft.fix {
            let kind = pin.kind.as_ref().map(|kind| kind.value.as_str());
            let places = |asked: &Matching, name| asked.role_called(name).or(asked.role(name)).is_some();
            let may = |resolved: &Resolved<'_>| kind.is_none_or(|name| places(&resolved.matching, name));
            let Some(matching) = self.matching(&pin.part.span, may) else { continue };
            let fixed =
                pins::resolve_fixed(self.names, &self.matches[matching], std::slice::from_ref(pin), self.reading);
            for fixed in fixed {
                self.push(Change::Fix { matching, pin: fixed }, &pin.part.span);
            }
        }
    }

    fn swap(&mut self, swap: &SwapDraft) {
        let kind = swap.kind.value.as_str();
        let may = |resolved: &Resolved<'_>| resolved.matching.role(kind).is_some();
        let Some(matching) = self.matching(&swap.kind.span, may) else { return };
        let asked = &self.matches[matching].matching;
        let Some(role) = asked.role(kind).filter(|_| asked.scope(kind) == Scope::Bank) else {
            let message = format!("`{kind}` does not go on banks in match `{}`, so none can be swapped", asked.name);
            let help = "heads go on banks, and gaskets with `gasket = \"per bank\"`; fix other parts in their places";
            self.refuse(Code::WhatIfUseless, message, &swap.kind, help);
            return;
        };
        let banks = [self.bank(&swap.banks[0]), self.bank(&swap.banks[1])];
        let [Some(one), Some(other)] = banks else { return };
        if one == other {
            let message = format!("bank `{}` is to be swapped with itself", swap.banks[0].value);
            self.refuse(Code::WhatIfUseless, message, &swap.banks[1], "name two banks");
            return;
        }
        let change = Change::Swap { matching, role, banks: [one.min(other), one.max(other)] };
        self.push(change, &swap.kind.span);
    }

    pub(super) fn bank(&mut self, bank: &At<String>) -> Option<usize> {
        let places = &self.names.cylinders.places;
        let found = places.banks.get(&bank.value).copied();
        if found.is_none() && places.trusted {
            let help = places.banks_are();
            self.refuse(Code::PositionUnknown, format!("there is no bank `{}`", bank.value), bank, help);
        }
        found
    }

    /// Another stroke, other rods: only where no part has a figure of its own.
    fn crank(&mut self) {
        let (names, draft) = (self.names, self.draft);
        let engine = &names.draft.engine;
        if let Some(stroke) = &draft.stroke {
            let throws = names.cylinders.positions.columns.named("throw").is_some();
            match (throws, engine.stroke) {
                (false, Some(_)) => self.push(Change::Stroke(stroke.value), &stroke.span),
                (true, _) => {
                    let help = "take the column `throw` out of the cylinders file, or the stroke out of the what-if";
                    self.refuse(Code::WhatIfUseless, "the cylinders have throws of their own".to_owned(), stroke, help);
                }
                (false, None) => {
                    let help = "add `stroke` to `[engine]`";
                    self.refuse(Code::WhatIfUseless, "the job has no stroke to change".to_owned(), stroke, help);
                }
            }
        }
        if let Some(length) = &draft.rod_length {
            let rods = names.stock("rod").is_some_and(|read| read.stock.columns.named("length").is_some());
            match (rods, engine.rod_length) {
                (false, Some(_)) => self.push(Change::RodLength(length.value), &length.span),
                (true, _) => {
                    let help = "add the other rods with `add = { rod = \"other-rods.csv\" }`, and take those there are \
                                out with `without`";
                    self.refuse(Code::WhatIfUseless, "the rods have lengths of their own".to_owned(), length, help);
                }
                (false, None) => {
                    let help = "add `rod_length` to `[engine]`: what counts is by how much the rods differ";
                    self.refuse(Code::WhatIfUseless, "the job has no rod length to change".to_owned(), length, help);
                }
            }
        }
    }

    fn lobe(&mut self, lobe: &LobeDraft) {
        let names = self.names;
        let Some(home) = names.stock("rocker").and_then(|read| names.sets.of(read.stock.goes_to())) else {
            let help = "lobe lift counts where rockers are placed";
            self.refuse(Code::WhatIfUseless, "the job has no rockers".to_owned(), &lobe.lift, help);
            return;
        };
        let Some(label) = &lobe.position else {
            self.push(Change::LobeLift(lobe.lift.value), &lobe.lift.span);
            return;
        };
        let position = home.places.positions.get(&label.value).copied();
        let Some(position) = position else {
            if home.places.trusted {
                let message = format!("there is no {} `{}`", home.places.kind, label.value);
                self.refuse(Code::PositionUnknown, message, label, home.places.positions_are());
            }
            return;
        };
        if home.positions.columns.value("lobe_lift", position).is_none() {
            let message = format!("{} `{}` has no lobe lift of its own to change", home.places.kind, label.value);
            let help = "write one lift for all lobes, `lobe_lift = 0.320`, or add a column `lobe_lift`";
            self.refuse(Code::WhatIfUseless, message, label, help);
            return;
        }
        self.push(Change::LobeLiftAt { position, lift: lobe.lift.value }, &lobe.lift.span);
    }

    /// Other limits, another aim, another order after it.
    fn wishes(&mut self) {
        let draft = self.draft;
        for limit in &draft.limits {
            let Some(matching) = self.matching(&limit.span, |_| true) else { continue };
            let (asked, fit) = (limit.asked, limit.asked.fit);
            let bounds = [
                (BoundOf::Min, asked.min),
                (BoundOf::Max, asked.max),
                (BoundOf::Spread, asked.spread),
                (BoundOf::Neighbours, asked.neighbours),
            ];
            for (which, to) in bounds {
                if let Some(to) = to {
                    self.push(Change::Bound { matching, fit, which, to }, &limit.span);
                }
            }
            if !asked.guard || self.guarded(matching, fit) == Some(false) {
                self.push(Change::Guard { matching, fit, guard: asked.guard }, &limit.span);
            }
        }
        if let Some(aim) = &draft.aim
            && let Some(matching) = self.matching(&aim.span, |_| true)
        {
            self.push(Change::Aim { matching, aim: aim.value }, &aim.span);
        }
        if let Some(then) = &draft.then
            && let Some(matching) = self.matching(&then.span, |_| true)
        {
            self.push(Change::Then { matching, then: then.value.clone() }, &then.span);
        }
    }

    fn guarded(&self, matching: usize, fit: FitName) -> Option<bool> {
        let limits = &self.matches[matching].matching.limits;
        limits.iter().find(|limit| limit.fit == fit).map(|limit| limit.guard)
    }
}
