//! `limits` of a match.

use pairwright_engine::job::LimitAsked;
use pairwright_engine::quantity::{Amount, Bound};
use toml::de::DeTable;

use super::draft::LimitDraft;
use super::matching::fit;
use super::walk::{Entry, Keys, Walk, entries};
use crate::diagnostic::{Code, Diagnostic};

const LIMIT: Keys = Keys { section: "a limit", known: &["min", "max", "spread", "neighbours", "guard"], later: &[] };

pub(super) fn read(walk: &mut Walk<'_>, entry: Entry<'_>, into: &mut Vec<LimitDraft>) {
    let example = walk.limits_example(None, None);
    let Some(table) = walk.table(entry, &example) else { return };
    for inner in entries(table) {
        let Some(fit) = fit(walk, &inner.key_at()) else { continue };
        let value = inner.value.get_ref();
        let typed = (value.is_integer() || value.is_float()).then(|| walk.typed(inner.value));
        let example = walk.limits_example(Some(fit), typed);
        let Some(table) = walk.table(inner, &example) else { continue };
        let line = walk.place(inner.key_span()).line;
        let asked = LimitAsked { fit, min: None, max: None, spread: None, neighbours: None, guard: true, line };
        let asked = limit(walk, table, asked);
        into.push(LimitDraft { asked, span: inner.key_span() });
    }
}

fn limit(walk: &mut Walk<'_>, table: &DeTable<'_>, mut asked: LimitAsked) -> LimitAsked {
    let all = entries(table);
    for &entry in &all {
        if !walk.check_key(entry, &LIMIT) {
            continue;
        }
        let value = walk.value_bound(asked.fit);
        let difference = Bound::difference(entry.key, walk.fits.dimension(asked.fit));
        match entry.key {
            "min" => asked.min = value.and_then(|bound| walk.amount(entry, bound)),
            "max" => asked.max = value.and_then(|bound| walk.amount(entry, bound)),
            "guard" => asked.guard = walk.flag(entry).unwrap_or(true),
            "neighbours" => asked.neighbours = difference.and_then(|bound| walk.amount(entry, bound)),
            _ => asked.spread = difference.and_then(|bound| walk.amount(entry, bound)),
        }
    }
    let entry = |key: &str| all.iter().find(|entry| entry.key == key);
    if let (Some(min), Some(max), Some(low), Some(high)) = (entry("min"), entry("max"), asked.min, asked.max) {
        check_order(walk, *min, *max, (low, high), asked);
    }
    asked
}

/// Reports a least value above the greatest.
fn check_order(walk: &mut Walk<'_>, min: Entry<'_>, max: Entry<'_>, values: (Amount, Amount), asked: LimitAsked) {
    let (low, high) = values;
    if low.ticks() <= high.ticks() {
        return;
    }
    let item = Diagnostic::wrong(
        Code::LimitUpsideDown,
        format!("the least {} is above the greatest", walk.fits.phrase(asked.fit)),
    )
    .at(walk.place(min.value.span()), format!("least: {low}"))
    .at(walk.place(max.value.span()), format!("greatest: {high}"))
    .help("swap the two values, or check the decimal places");
    walk.report(item);
}
