//! What a machine shop is to take off, held against what is there.

use pairwright_engine::job::{Change, Dish};
use pairwright_engine::quantity::{Amount, Dimension, Unit};

use super::one::One;
use crate::diagnostic::Code;
use crate::input::job_file::{At, ChamberDraft, CrownDraft};

pub(super) fn decks(one: &mut One<'_, '_>) {
    let draft = one.draft;
    for cut in &draft.decks {
        let Some(bank) = one.bank(&cut.bank) else { continue };
        if cut.square {
            one.push(Change::SquareDeck { bank }, &cut.bank.span);
        }
        if let Some(by) = cut.cut {
            one.push(Change::CutDeck { bank, by: by.ticks() }, &cut.bank.span);
        }
    }
}

/// The stock of a kind that a key of its own names, here `crown` or `chamber`.
fn stock_of(one: &mut One<'_, '_>, kind: &str, at: &At<String>) -> Option<usize> {
    one.stock(&At { value: kind.to_owned(), span: at.span.clone() })
}

pub(super) fn crowns(one: &mut One<'_, '_>) {
    let draft = one.draft;
    for cut in &draft.crowns {
        let Some(stock) = stock_of(one, "piston", &cut.piston) else { return };
        let Some(piston) = one.part(stock, &cut.piston) else { continue };
        let deep_enough = allowed(one, stock, piston, cut);
        let Some(dish) = dish(one, stock, piston, cut) else { continue };
        if deep_enough {
            one.push(Change::CutCrown { piston, by: cut.cut.value.ticks(), dish }, &cut.cut.span);
        }
    }
}

/// Whether the crown is thick enough, as far as the job says how much may come off.
fn allowed(one: &mut One<'_, '_>, stock: usize, piston: usize, cut: &CrownDraft) -> bool {
    let own = one.names.stocks[stock].stock.columns.value("crown_allowance", piston);
    let Some(most) = own.or(one.names.draft.engine.crown_allowance) else { return true };
    let by = cut.cut.value;
    if by.ticks() <= most.ticks() {
        return true;
    }
    let message = format!(
        "{by} off the crown of `{}` is more than its `crown_allowance` of {most}: the land above the top ring gets too \
         thin",
        cut.piston.value
    );
    one.refuse(Code::WhatIfCut, message, &cut.cut, format!("cut {most} at most"));
    false
}

/// What the cut does to the dish; `None` where that is not known, which is reported.
fn dish(one: &mut One<'_, '_>, stock: usize, piston: usize, cut: &CrownDraft) -> Option<Dish> {
    if let Some(now) = cut.dish {
        return Some(Dish::Now(now));
    }
    let label = &cut.piston.value;
    let volume = one.names.stocks[stock].stock.columns.value("dish", piston).map_or(0, Amount::ticks);
    match (volume, cut.diameter) {
        (0, _) => Some(Dish::Same),
        (1.., Some(diameter)) => {
            let less = swept(diameter, cut.cut.value);
            if less > volume {
                let message = format!("the cut goes through the bottom of the dish of `{label}`");
                let help = "check the diameter of the dish, or measure what the dish will hold: `dish_cc`";
                one.refuse(Code::WhatIfCut, message, &cut.cut, help);
                return None;
            }
            Some(Dish::Less(less))
        }
        _ => {
            let (what, help) = if volume > 0 {
                (
                    "dish",
                    format!(
                        "say how wide the dish is, `{label} = {{ cut = …, dish_diameter = … }}`, or what it will hold, \
                         `dish_cc`"
                    ),
                )
            } else {
                ("dome", format!("measure the piston after the cut: `{label} = {{ cut = …, dish_cc = … }}`"))
            };
            let message = format!("what the cut leaves of the {what} of `{label}` is not known");
            one.refuse(Code::WhatIfCut, message, &cut.piston, help);
            None
        }
    }
}

/// `π/4 · diameter² · cut` in ticks of volume.
#[expect(clippy::cast_possible_truncation, reason = "both are below a metre: far inside i64")]
fn swept(diameter: Amount, cut: Amount) -> i64 {
    debug_assert_eq!(diameter.unit().dimension(), Dimension::Length, "as its bound says");
    let millimetres = |amount: Amount| amount.ticks() as f64 / Unit::Millimetre.ticks_f64();
    let cubic = std::f64::consts::FRAC_PI_4 * millimetres(diameter).powi(2) * millimetres(cut);
    (cubic / 1_000.0 * Unit::CubicCentimetre.ticks_f64()).round() as i64
}

pub(super) fn chambers(one: &mut One<'_, '_>) {
    let draft = one.draft;
    for change in &draft.chambers {
        let Some(stock) = stock_of(one, "head", &change.head) else { return };
        let Some(head) = one.part(stock, &change.head) else { continue };
        for chamber in which(one, change) {
            one.push(Change::Chamber { head, chamber, by: change.by.ticks() }, &change.head.span);
        }
    }
}

/// The chambers that a change is of, counted from 0.
fn which(one: &mut One<'_, '_>, change: &ChamberDraft) -> Vec<usize> {
    let most = one.names.cylinders.banks.iter().map(|bank| bank.cylinders.len()).max().unwrap_or(0);
    let Some(typed) = &change.chamber else { return (0..most).collect() };
    match typed.value.parse::<usize>() {
        Ok(number) if (1..=most).contains(&number) => vec![number - 1],
        _ => {
            let help = format!("chambers are counted from 1, front to back, to {most}");
            let message = format!("head `{}` has no chamber `{}`", change.head.value, typed.value);
            one.refuse(Code::HeadChambers, message, typed, help);
            Vec::new()
        }
    }
}
