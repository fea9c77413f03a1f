//! Keys that stand at the top of the job file and belong into a section.

use super::walk::{Entry, Walk};
use super::{Draft, Section};
use crate::diagnostic::{Code, Diagnostic};
use crate::input::kinds::KINDS;
use crate::noun::plural;

/// Reports a top key that belongs elsewhere; `true` where it does.
pub(super) fn report(walk: &mut Walk<'_>, entry: Entry<'_>, draft: &mut Draft) -> bool {
    let key = entry.key;
    let table = entry.value.get_ref().is_table();
    let (section, home, help) = match key {
        "limits" | "keep" | "bar" | "only" if table => {
            (None, "a match", format!("write `[match.{key}]` and put it below the `[[match]]` that it belongs to"))
        }
        "limits" | "keep" | "bar" | "only" | "place" | "then" | "even" | "near" | "highest" | "lowest" => {
            (None, "a match", format!("put `{key}` below the line `[[match]]`"))
        }
        "bore" | "stroke" | "rod_length" | "deck_height" | "crevice" | "crevice_cc" | "lobe_lift"
        | "reference_lobe" => (Some(Section::Engine), "`[engine]`", format!("put `{key}` below the line `[engine]`")),
        "cylinder" | "valve" => (
            Some(Section::Positions),
            "`[positions]`",
            format!("name the {0}' file there: `{key} = \"{0}.csv\"`", plural(key)),
        ),
        "deck" | "chamber" => (
            Some(Section::Readings),
            "`[readings]`",
            format!("name the file of readings there: `{key} = \"{key}-readings.csv\"`"),
        ),
        _ if KINDS.contains(&key) => {
            (Some(Section::Stock), "`[stock]`", format!("name the file there: `{key} = \"{}.csv\"`", plural(key)))
        }
        _ => return false,
    };
    let item = Diagnostic::wrong(Code::JobUnknownKey, format!("`{key}` belongs to {home} and stands outside of it"))
        .at(walk.place(entry.key_span()), "")
        .help(help);
    walk.report(item);
    if let Some(section) = section {
        draft.refuse(section);
    }
    true
}
