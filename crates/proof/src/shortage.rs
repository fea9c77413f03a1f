//! Why there is no choice, in words: who competes for what.

use crate::{Changes, Fault, Flaw, Item, Refutation, Slot, Statement, check_impossible};

/// Slots that compete for too few items, and why.
///
/// No slot can be dropped from `slots`: without any one of them, the others could all be served (Hall 1935). With up to
/// 20 slots no smaller set competes, and of several as small it is the first in order. For [`Cause::BroughtIn`] the
/// two sides are exchanged: too few slots for the items.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shortage {
    /// The slots, ascending.
    pub slots: Vec<Slot>,
    /// The items, ascending: all that the slots could take, one fewer than there are slots.
    pub items: Vec<Item>,
    /// What makes them too few.
    pub cause: Cause,
}

/// What a [`Shortage`] comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Cause {
    /// The allowed pairs alone.
    Pairs,
    /// Items that have to be used: `items` could only go into `slots`, which are one fewer, and none of the items can
    /// be dropped.
    BroughtIn,
    /// One window, although without it there are choices. The slots compete while the window's values are held
    /// between `low` and `low` + width, the place of the window where it comes closest to holding.
    Window {
        /// Its place among the windows.
        window: usize,
        /// The least spread of that table over all choices, the windows set aside: the width that would do.
        least: i128,
        /// The lower end of the window, in ticks.
        low: i64,
    },
    /// Several windows together, each of which could be held by itself. No slots are named: which ones compete
    /// depends on where the windows lie.
    WindowsTogether,
}

/// Whether a shortage is one, and no choice keeps the rules.
///
/// The named sets are checked for [`Cause::Pairs`] and [`Cause::BroughtIn`]: they are a refutation by themselves. For a
/// window `reason` has to refute that any choice holds it, and the named slots must compete inside the place named.
/// That no slot can be dropped, and the least width that would do, are not checked.
///
/// # Errors
/// [`Fault::Impossible`] with the first flaw found.
pub fn check_shortage(statement: &Statement<'_>, shortage: &Shortage, reason: &Refutation) -> Result<(), Fault> {
    check_impossible(statement, reason)?;
    let slots = || Refutation::Slots { slots: shortage.slots.clone(), items: shortage.items.clone() };
    match shortage.cause {
        Cause::Pairs => check_impossible(statement, &slots()),
        Cause::BroughtIn => check_impossible(
            statement,
            &Refutation::Items { items: shortage.items.clone(), slots: shortage.slots.clone() },
        ),
        Cause::Window { window, low, .. } => check_place(statement, shortage, window, low),
        Cause::WindowsTogether => Ok(()),
    }
}

/// Whether slots named, if any, compete inside one place of a window.
fn check_place(statement: &Statement<'_>, shortage: &Shortage, window: usize, low: i64) -> Result<(), Fault> {
    let limit = statement.windows.get(window).ok_or(Fault::Impossible { flaw: Flaw::Kind })?;
    let high = i128::from(low) + i128::from(limit.width);
    let outside = |slot: &Slot, item: &Item| {
        let value = limit.table.get(*slot, *item).map(i128::from);
        value.is_none_or(|value| value < i128::from(low) || value > high)
    };
    let mut changes: Changes = statement.changes.clone();
    for slot in limit.table.slots() {
        changes.forbidden.extend(limit.table.items().filter(|item| outside(&slot, item)).map(|item| (slot, item)));
    }
    let inside = Statement { changes: &changes, ..*statement };
    let (slots, items) = (shortage.slots.clone(), shortage.items.clone());
    if slots.is_empty() {
        return Ok(());
    }
    check_impossible(&inside, &Refutation::Slots { slots: slots.clone(), items: items.clone() })
        .or_else(|_| check_impossible(&inside, &Refutation::Items { items, slots }))
}
