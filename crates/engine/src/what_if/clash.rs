//! Changes that contradict each other, so that their order would matter.

use crate::job::{Change, Dish, Matching, Pin};

/// What indices in changes mean: the matches of a job, and the kinds of its stocks, in their order.
#[derive(Clone, Debug)]
pub struct Kinds<'a> {
    /// The matches.
    pub matches: Vec<&'a Matching>,
    /// The kind of every stock.
    pub stocks: Vec<&'a str>,
}

impl<'a> Kinds<'a> {
    fn placed(&self, matching: usize, pin: Pin) -> Option<&'a str> {
        self.matches.get(matching)?.place.get(pin.role).map(|role| role.kind.as_str())
    }
}

/// Whether two changes cannot be made together: they set one thing to two values, fix a part in two places or two parts
/// in one, or do something with a part that is not there. Cuts add up and do not clash.
///
/// ```
/// use pairwright_engine::job::Change;
/// use pairwright_engine::quantity::{Amount, Unit};
/// use pairwright_engine::what_if::{Kinds, clash};
/// let kinds = Kinds { matches: Vec::new(), stocks: vec!["piston"] };
/// let stroke = |ticks| Change::Stroke(Amount::new(ticks, Unit::Inch, 3));
/// assert!(clash(&kinds, &stroke(86_868_000), &stroke(88_392_000)));
/// assert!(!clash(&kinds, &Change::CutDeck { bank: 0, by: 25_400 }, &Change::CutDeck { bank: 0, by: 50_800 }));
/// ```
#[must_use]
pub fn clash(kinds: &Kinds<'_>, one: &Change, other: &Change) -> bool {
    one_way(kinds, one, other) || one_way(kinds, other, one)
}

/// Whether a change only says again what another says: one of the two is a slip of the pen where both stand in one
/// what-if. In a stack it is not, since several of its what-ifs may need the same.
#[must_use]
pub fn repeats(one: &Change, other: &Change) -> bool {
    match (one, other) {
        (Change::Fix { matching: m, pin: a }, Change::Fix { matching: n, pin: b }) => (m, a) == (n, b),
        (Change::Swap { matching: m, role: a, banks: x }, Change::Swap { matching: n, role: b, banks: y }) => {
            (m, a, x) == (n, b, y)
        }
        (Change::Without { stock: a, part: x }, Change::Without { stock: b, part: y })
        | (Change::Admit { stock: a, part: x }, Change::Admit { stock: b, part: y }) => (a, x) == (b, y),
        _ => false,
    }
}

fn one_way(kinds: &Kinds<'_>, one: &Change, other: &Change) -> bool {
    match (one, other) {
        (Change::Fix { matching: m, pin: a }, Change::Fix { matching: n, pin: b }) => {
            m == n && apart(kinds, *m, *a, *b)
        }
        (Change::Swap { matching: m, role: a, banks: x }, Change::Swap { matching: n, role: b, banks: y }) => {
            m == n && a == b && x != y
        }
        (Change::Swap { matching, role, .. }, Change::Fix { matching: other, pin }) => {
            matching == other && *role == pin.role
        }
        (Change::Without { stock, part }, other) => needs(kinds, other, *stock, *part),
        (Change::CutCrown { piston: a, dish: Dish::Now(_), .. }, Change::CutCrown { piston: b, .. }) => {
            a == b && differ(one, other)
        }
        (Change::Add { stock: a, parts: x }, Change::Add { stock: b, parts: y }) => {
            let twice = |id: &str| y.parts.iter().any(|part| part.id == id);
            a == b && x.parts.iter().any(|part| twice(&part.id))
        }
        (Change::Stroke(a), Change::Stroke(b))
        | (Change::RodLength(a), Change::RodLength(b))
        | (Change::LobeLift(a), Change::LobeLift(b)) => a.ticks() != b.ticks(),
        (Change::LobeLift(_), Change::LobeLiftAt { .. }) => true,
        (Change::LobeLiftAt { position: a, lift: x }, Change::LobeLiftAt { position: b, lift: y }) => {
            a == b && x.ticks() != y.ticks()
        }
        (
            Change::Bound { matching: m, fit: a, which: v, to: x },
            Change::Bound { matching: n, fit: b, which: w, to: y },
        ) => (m, a, v) == (n, b, w) && x.ticks() != y.ticks(),
        (Change::Guard { matching: m, fit: a, guard: x }, Change::Guard { matching: n, fit: b, guard: y }) => {
            (m, a) == (n, b) && x != y
        }
        (Change::Aim { matching: m, aim: a }, Change::Aim { matching: n, aim: b }) => m == n && a != b,
        (Change::Then { matching: m, then: a }, Change::Then { matching: n, then: b }) => m == n && a != b,
        _ => false,
    }
}

/// A dish that is stated holds whatever else is cut from that crown only if it is stated of the whole cut.
fn differ(one: &Change, other: &Change) -> bool {
    match (one, other) {
        (Change::CutCrown { by: x, dish: a, .. }, Change::CutCrown { by: y, dish: b, .. }) => (x, a) != (y, b),
        _ => true,
    }
}

/// Two parts in one place, or one part in two: a type of gasket may serve several.
fn apart(kinds: &Kinds<'_>, matching: usize, one: Pin, other: Pin) -> bool {
    let types = kinds.placed(matching, one) == Some("gasket");
    let same_place = one.position == other.position;
    one.role == other.role && (one.part != other.part && same_place || one.part == other.part && !same_place && !types)
}

/// Whether a change does something with a part of a stock.
fn needs(kinds: &Kinds<'_>, change: &Change, stock: usize, part: usize) -> bool {
    let kind = kinds.stocks.get(stock).copied();
    match change {
        Change::Fix { matching, pin } => kinds.placed(*matching, *pin) == kind && pin.part == part,
        Change::Admit { stock: other, part: same } => *other == stock && *same == part,
        Change::CutCrown { piston, .. } => kind == Some("piston") && *piston == part,
        Change::Chamber { head, .. } => kind == Some("head") && *head == part,
        _ => false,
    }
}
