//! `first` and `spend` of a match: what counts before the aim, and how much it may cost.

use pairwright_engine::job::Next;
use pairwright_engine::quantity::{Amount, Bound};
use toml::de::DeValue;

use super::At;
use super::walk::{Entry, Keys, Walk, entries};
use crate::diagnostic::{Code, Diagnostic};
use crate::input::nearest::remedy;

const SPEND: Keys = Keys { section: "`spend`", known: &["max"], later: &[] };

/// What `then` and `first` can hold besides fits.
pub(super) const WORDS: [(&str, Next); 3] = [("moves", Next::Moves), ("price", Next::Price), ("bought", Next::Bought)];

/// The word called `name`.
pub(super) fn word(name: &str) -> Option<Next> {
    WORDS.iter().find(|(word, _)| *word == name).map(|(_, next)| *next)
}

/// `first = "price"`, or a list of such words.
pub(super) fn first(walk: &mut Walk<'_>, entry: Entry<'_>) -> Vec<At<Next>> {
    let example = "first = \"price\"";
    let words: Vec<At<String>> = match entry.value.get_ref() {
        DeValue::Array(array) => array.iter().filter_map(|item| walk.label(entry.key, item, example)).collect(),
        _ => walk.text(entry, example).into_iter().collect(),
    };
    let mut all = Vec::with_capacity(words.len());
    for At { value: name, span } in words {
        if let Some(value) = word(&name) {
            all.push(At { value, span });
            continue;
        }
        let is_fit = walk.fits.named(&name).is_some();
        let item = Diagnostic::wrong(Code::JobWord, format!("`first` cannot hold `{name}`")).at(walk.place(span), "");
        walk.report(item.help(if is_fit {
            "make it the aim, as in `even`, `near`, `highest` or `lowest`; what may come before the aim is `price`, \
             `bought` and `moves`"
                .to_owned()
        } else {
            remedy(&name, &WORDS.map(|(word, _)| word), "`first` takes")
        }));
    }
    all
}

/// `spend = { max = 40 }`.
pub(super) fn spend(walk: &mut Walk<'_>, entry: Entry<'_>) -> Option<At<Amount>> {
    let table = walk.table(entry, "spend = { max = 40 }")?;
    let all = entries(table);
    for &inner in &all {
        walk.check_key(inner, &SPEND);
    }
    let Some(most) = all.iter().copied().find(|inner| inner.key == "max") else {
        if all.is_empty() {
            let item = Diagnostic::wrong(Code::JobMissingKey, "`spend` does not say how much")
                .at(walk.place(entry.key_span()), "")
                .help("write it as `spend = { max = 40 }`, in the currency of the prices");
            walk.report(item);
        }
        return None;
    };
    // Alone, `max` says nothing: other keys have one, too.
    let value = walk.amount(Entry { key: "spend.max", ..most }, Bound::named("spend")?)?;
    Some(At { value, span: entry.key_span.0..entry.value.span().end })
}
