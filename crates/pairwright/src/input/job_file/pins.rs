//! `keep` and `bar`: `{ "3" = "C" }` with one kind, `{ piston = { "3" = "C" } }` with any; `{ gasket = "thin" }`
//! for the engine's one gasket.

use toml::Spanned;
use toml::de::DeValue;

use super::walk::{Entry, Walk, entries};
use super::{At, PinDraft};

pub(super) fn read(walk: &mut Walk<'_>, entry: Entry<'_>, into: &mut Vec<PinDraft>) {
    let Some(table) = walk.table(entry, &format!("{} = {{ \"3\" = \"C\" }}", entry.key)) else { return };
    for outer in entries(table) {
        match outer.value.get_ref() {
            DeValue::Table(table) => {
                for inner in entries(table) {
                    parts(walk, entry.key, Some(&outer.key_at()), inner, into, true);
                }
            }
            _ if outer.key == "gasket" => parts(walk, entry.key, Some(&outer.key_at()), outer, into, false),
            _ => parts(walk, entry.key, None, outer, into, true),
        }
    }
}

/// One place and its part, or for `bar` its parts; the key is the kind where it is not `placed`.
fn parts(
    walk: &mut Walk<'_>,
    sort: &str,
    kind: Option<&At<String>>,
    entry: Entry<'_>,
    into: &mut Vec<PinDraft>,
    placed: bool,
) {
    let mut push = |walk: &mut Walk<'_>, value: &Spanned<DeValue<'_>>, example: &str| {
        let part = walk.label(entry.key, value, example)?;
        into.push(PinDraft { kind: kind.cloned(), position: placed.then(|| entry.key_at()), part });
        Some(())
    };
    match entry.value.get_ref() {
        DeValue::Array(array) if sort == "bar" => {
            for item in array {
                push(walk, item, "bar = { \"3\" = [\"C\", \"D\"] }");
            }
        }
        _ => {
            push(walk, entry.value, &format!("{sort} = {{ \"3\" = \"C\" }}"));
        }
    }
}
