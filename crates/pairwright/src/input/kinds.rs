//! The kinds of which there can be a stock, and what its file may hold.

use super::sheet::{Numbered, Sheet};

/// The kinds that have columns of their own; any other word of the job may be a kind, too.
pub(super) const KINDS: &[&str] = &["piston", "rod", "head", "gasket", "rocker"];

const PISTONS: Sheet<'_> = Sheet {
    texts: &["id", "at", "fits", "with", "count"],
    measured: &["diameter", "compression_height", "dish", "mass", "price", "crown_allowance"],
    ..Sheet::PARTS
};

const RODS: Sheet<'_> =
    Sheet { texts: &["id", "at", "fits", "with", "count"], measured: &["length", "mass", "price"], ..Sheet::PARTS };

const HEADS: Sheet<'_> = Sheet {
    texts: &["id", "at", "fits", "count"],
    measured: &["recess", "price"],
    numbered: Some(&CHAMBERS),
    ..Sheet::PARTS
};

const GASKETS: Sheet<'_> = Sheet {
    texts: &["id", "count", "bank", "at"],
    measured: &["thickness", "bore", "gasket", "price"],
    ..Sheet::PARTS
};

const ROCKERS: Sheet<'_> = Sheet {
    texts: &["id", "at", "fits", "count"],
    measured: &["ratio", "lift", "reference_lobe", "mass", "price"],
    ..Sheet::PARTS
};

/// Any other kind.
const OTHERS: Sheet<'_> = Sheet { texts: &["id", "at", "fits", "count"], measured: &["mass", "price"], ..Sheet::PARTS };

/// The chambers of a head; the longest rows in use have twelve cylinders.
pub(super) const CHAMBERS: Numbered = Numbered {
    stem: "chamber",
    u_stem: "u_chamber",
    names: &[
        "chamber_1",
        "chamber_2",
        "chamber_3",
        "chamber_4",
        "chamber_5",
        "chamber_6",
        "chamber_7",
        "chamber_8",
        "chamber_9",
        "chamber_10",
        "chamber_11",
        "chamber_12",
    ],
    u_names: &[
        "u_chamber_1",
        "u_chamber_2",
        "u_chamber_3",
        "u_chamber_4",
        "u_chamber_5",
        "u_chamber_6",
        "u_chamber_7",
        "u_chamber_8",
        "u_chamber_9",
        "u_chamber_10",
        "u_chamber_11",
        "u_chamber_12",
    ],
};

/// What the file of a stock of `kind` may hold; messages call it `what`.
pub(super) fn sheet<'k>(kind: &str, what: &'k str) -> Sheet<'k> {
    let known = match kind {
        "piston" => PISTONS,
        "rod" => RODS,
        "head" => HEADS,
        "gasket" => GASKETS,
        "rocker" => ROCKERS,
        _ => OTHERS,
    };
    Sheet { what, ..known }
}

/// The kind of which a row without a count is a type of which there are any number.
pub(super) const ANY_UNLESS_COUNTED: &str = "gasket";

/// Whether parts of `kind` stand on banks rather than in cylinders.
pub(super) fn on_banks(kind: &str) -> bool {
    matches!(kind, "head" | "gasket")
}

/// Every quantity of every stock, for `[uncertainty]`.
pub(super) fn quantities() -> impl Iterator<Item = &'static str> {
    let of = |sheet: Sheet<'static>| sheet.measured.iter().copied().chain(sheet.numbered.map(|numbered| numbered.stem));
    [PISTONS, RODS, HEADS, GASKETS, ROCKERS].into_iter().flat_map(of)
}
