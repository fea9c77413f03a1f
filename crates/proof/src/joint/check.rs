//! Every rule of a joint choice, derived again from the statement and the choice alone.

use crate::{
    Choice, Couple, Filled, Item, JointChoice, JointStatement, JointStatementError, Measure, Outer, Slot,
    evaluate_joint,
};

/// Which of the two kinds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Side {
    /// The first kind.
    First,
    /// The second kind.
    Second,
}

/// The first rule that a joint answer breaks.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum JointFault {
    /// The statement itself does not hold together.
    #[error("not a joint problem")]
    Statement(#[source] JointStatementError),
    /// Not one item of a kind for every slot.
    #[error("{found} items of the {side:?} kind were chosen for {expected} slots")]
    Length {
        /// Which kind.
        side: Side,
        /// Number of slots.
        expected: usize,
        /// Number of items in the choice.
        found: usize,
    },
    /// There is no such outer choice.
    #[error("there is no outer choice {outer}")]
    NoOuter {
        /// The outer choice.
        outer: Outer,
    },
    /// A triple that a table, a couple or the scale forbids.
    #[error("slot {slot} must not take items {} and {}", items.first, items.second)]
    Forbidden {
        /// The slot.
        slot: Slot,
        /// Its two items.
        items: Couple,
    },
    /// An item that has to be used and is not.
    #[error("item {item} of the first kind is not used")]
    Unused {
        /// The item.
        item: Item,
    },
    /// Two slots that must not be filled so at once.
    #[error("slots {one} and {other} must not stand beside each other so")]
    Beside {
        /// A slot.
        one: Slot,
        /// Another.
        other: Slot,
    },
    /// A value outside ±[`JointStatement::LIMIT`].
    #[error("the value {value} of slot {slot} with items {} and {} is outside ±{}", items.first, items.second, JointStatement::LIMIT)]
    Magnitude {
        /// The slot.
        slot: Slot,
        /// Its two items.
        items: Couple,
        /// What the scale gave.
        value: i64,
    },
    /// One item in two slots.
    #[error("item {item} of the {side:?} kind was chosen for two slots")]
    Twice {
        /// Which kind.
        side: Side,
        /// The item.
        item: Item,
    },
    /// A claimed value is not what the choice is worth.
    #[error("the choice is worth {actual}, not {claimed}")]
    Value {
        /// The value claimed.
        claimed: i128,
        /// The value found again.
        actual: i128,
    },
    /// A target is too far out for exact arithmetic.
    #[error("a target is too far out for exact arithmetic")]
    Overflow,
}

/// Whether `choice` keeps every rule of `statement` and is worth `claimed` by `measure`.
///
/// Says nothing about whether a better choice exists. Costs O(n log n + n·c) for n slots and c barred couples,
/// and n² questions where slots may stand in each other's way.
///
/// # Errors
/// The first [`JointFault`] found.
pub fn check_joint(
    statement: &JointStatement<'_>,
    measure: Measure,
    choice: &JointChoice,
    claimed: i128,
) -> Result<(), JointFault> {
    statement.check().map_err(JointFault::Statement)?;
    let actual = evaluate_joint(measure, statement, choice)?;
    check_once(Side::First, &choice.first)?;
    check_once(Side::Second, &choice.second)?;
    let meets = |&items: &Couple| {
        let slot = choice.first.slot(items.first)?;
        (choice.second.item(slot) == Some(items.second)).then_some(JointFault::Forbidden { slot, items })
    };
    if let Some(fault) = statement.barred.iter().find_map(meets) {
        return Err(fault);
    }
    check_beside(statement, choice)?;
    if actual == claimed { Ok(()) } else { Err(JointFault::Value { claimed, actual }) }
}

fn check_beside(statement: &JointStatement<'_>, choice: &JointChoice) -> Result<(), JointFault> {
    if statement.beside.is_none() {
        return Ok(());
    }
    let filled = |(slot, first, second)| Filled { slot, items: Couple { first, second } };
    let filled: Vec<Filled> = choice.triples().map(filled).collect();
    for (at, &one) in filled.iter().enumerate() {
        if let Some(other) = filled[at + 1..].iter().find(|&&other| !statement.may_stand(choice.outer, one, other)) {
            return Err(JointFault::Beside { one: one.slot, other: other.slot });
        }
    }
    Ok(())
}

fn check_once(side: Side, choice: &Choice) -> Result<(), JointFault> {
    let mut items = choice.items().to_vec();
    items.sort_unstable();
    match items.windows(2).find(|two| two[0] == two[1]) {
        Some(two) => Err(JointFault::Twice { side, item: two[0] }),
        None => Ok(()),
    }
}
