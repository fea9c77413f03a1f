//! `[banks]`.

use pairwright_engine::job::HeadSeat;
use pairwright_engine::quantity::Bound;
use toml::Spanned;
use toml::de::DeValue;

use super::walk::{Entry, Keys, Walk, entries};
use super::{At, BankDraft, Draft, Section};
use crate::diagnostic::{Code, Diagnostic};

const BANK: Keys = Keys { section: "a bank", known: &["cylinders", "head", "straight", "form"], later: &[] };

const EXAMPLE: &str = "left = [1, 3, 5, 7]";

pub(super) fn read(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut Draft) {
    let Some(table) = walk.table(entry, "[banks]") else {
        draft.refuse(Section::Banks);
        return;
    };
    for entry in entries(table) {
        match bank(walk, entry) {
            Some(bank) => draft.banks.push(bank),
            None => draft.refuse(Section::Banks),
        }
    }
}

fn bank(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<BankDraft> {
    let mut bank = BankDraft { name: entry.key_at(), cylinders: Vec::new(), head: None, straight: false, form: None };
    let mut sound = true;
    match entry.value.get_ref() {
        DeValue::Array(_) => sound = cylinders(walk, entry.key, entry.value, &mut bank.cylinders),
        DeValue::Table(table) => {
            for inner in entries(table) {
                if !walk.check_key(inner, &BANK) {
                    continue;
                }
                match inner.key {
                    "cylinders" => sound = cylinders(walk, inner.key, inner.value, &mut bank.cylinders),
                    "head" => {
                        let words = [("as measured", HeadSeat::AsMeasured), ("turned", HeadSeat::Turned)];
                        bank.head = walk.word(inner, &words);
                    }
                    "straight" => bank.straight = walk.flag(inner).unwrap_or(false),
                    _ => bank.form = Bound::named("form").and_then(|bound| walk.amount(inner, bound)),
                }
            }
        }
        _ => {
            walk.wrong_type(entry.key, entry.value, "a list of cylinders", EXAMPLE);
            return None;
        }
    }
    if sound && bank.cylinders.is_empty() {
        let item = Diagnostic::wrong(Code::JobMissingKey, format!("bank `{}` has no cylinders", entry.key))
            .at(walk.place(entry.key_span()), "")
            .help(format!("list them from the front to the back, as in `{EXAMPLE}`"));
        walk.report(item);
        return None;
    }
    sound.then_some(bank)
}

fn cylinders(walk: &mut Walk<'_>, key: &str, value: &Spanned<DeValue<'_>>, into: &mut Vec<At<String>>) -> bool {
    let DeValue::Array(array) = value.get_ref() else {
        walk.wrong_type(key, value, "a list of cylinders", EXAMPLE);
        return false;
    };
    let mut sound = true;
    for item in array {
        match walk.label(key, item, EXAMPLE) {
            Some(label) => into.push(label),
            None => sound = false,
        }
    }
    sound
}
