//! Every rule, derived again from the statement and the choice alone.

use crate::sides::{self, SideFault, Sides};
use crate::{Choice, Flaw, Item, Measure, Slot, Statement, Table, evaluate};

/// The first rule that an answer breaks.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum Fault {
    /// Not one item for every slot.
    #[error("{found} items were chosen for {expected} slots")]
    Length {
        /// Number of slots.
        expected: usize,
        /// Number of items in the choice.
        found: usize,
    },
    /// One item in two slots.
    #[error("item {item} was chosen for slot {first} and for slot {second}")]
    Twice {
        /// The item.
        item: Item,
        /// The first slot that has it.
        first: Slot,
        /// Another slot that has it.
        second: Slot,
    },
    /// A pair that a table or a change forbids, or that no table holds.
    #[error("slot {slot} must not take item {item}")]
    Forbidden {
        /// The slot of the pair.
        slot: Slot,
        /// The item of the pair.
        item: Item,
    },
    /// A pair that had to be chosen was not.
    #[error("slot {slot} had to take item {item}")]
    NotForced {
        /// The slot of the pair.
        slot: Slot,
        /// The item of the pair.
        item: Item,
    },
    /// An item that had to stay out was chosen.
    #[error("item {item} had to stay out")]
    NotLeftOut {
        /// The item.
        item: Item,
    },
    /// An item that had to be used was not.
    #[error("item {item} had to be used")]
    NotBroughtIn {
        /// The item.
        item: Item,
    },
    /// A spread limit is broken.
    #[error("the spread {spread} of window {window} is wider than {width}")]
    Window {
        /// Its place among the windows.
        window: usize,
        /// The spread of the choice, in ticks.
        spread: i128,
        /// The widest allowed, in ticks.
        width: i64,
    },
    /// Not one claimed value for every criterion.
    #[error("{found} values were claimed for {expected} criteria")]
    Claims {
        /// Number of criteria.
        expected: usize,
        /// Number of values claimed.
        found: usize,
    },
    /// A claimed value is not what the choice is worth.
    #[error("criterion {criterion} is worth {actual}, not {claimed}")]
    Value {
        /// Its place in the chain.
        criterion: usize,
        /// The value claimed.
        claimed: i128,
        /// The value found again.
        actual: i128,
    },
    /// More levels are proven than there are criteria.
    #[error("{found} levels are proven of {expected} criteria")]
    Levels {
        /// Number of criteria.
        expected: usize,
        /// Number of levels.
        found: usize,
    },
    /// The best value that a level claims is not reached, or the answer is not within the slack of it.
    #[error("the best value {best} of level {level} is not reached")]
    Best {
        /// The level.
        level: usize,
        /// The value it claims.
        best: i128,
    },
    /// A level's reason does not hold.
    #[error("the reason of level {level} does not hold: {flaw}")]
    Reason {
        /// The level.
        level: usize,
        /// What is wrong.
        flaw: Flaw,
    },
    /// A step of a level's tree does not hold, or the tree ends too early or too late.
    #[error("step {step} of level {level} does not hold: {flaw}")]
    Step {
        /// The level.
        level: usize,
        /// Its place in the tree.
        step: usize,
        /// What is wrong.
        flaw: Flaw,
    },
    /// The reason why there is no choice does not hold.
    #[error("the reason why there is no choice does not hold: {flaw}")]
    Impossible {
        /// What is wrong.
        flaw: Flaw,
    },
    /// A side condition is broken.
    #[error(transparent)]
    Side(#[from] SideFault),
    /// A side condition names a slot that is not there.
    #[error("there is no slot {slot}")]
    NoSlot {
        /// The slot named.
        slot: Slot,
    },
    /// A target is too far out for exact arithmetic.
    #[error("a target is too far out for exact arithmetic")]
    Overflow,
}

/// Whether `choice` keeps every rule of `statement` and is worth the `claimed` values, one a criterion.
///
/// Says nothing about whether a better choice exists.
///
/// # Errors
/// The first [`Fault`] found: length, items twice, forbidden pairs, forced pairs, items left out and brought in,
/// windows, claimed values, in this order.
pub fn check_choice(statement: &Statement<'_>, choice: &Choice, claimed: &[i128]) -> Result<(), Fault> {
    for table in tables(statement) {
        check_pairs(table, choice)?;
    }
    check_once(choice)?;
    check_changes(statement, choice)?;
    for (window, limit) in statement.windows.iter().enumerate() {
        let spread = evaluate(Measure::Spread, limit.table, choice)?;
        if spread > i128::from(limit.width) {
            return Err(Fault::Window { window, spread, width: limit.width });
        }
    }
    check_values(statement, choice, claimed)
}

/// Whether `choice` keeps every rule of `statement` and every side condition, and is worth the `claimed` values.
///
/// # Errors
/// The first [`Fault`] found: those of [`check_choice`], pairs that a table of a side condition forbids, then the side
/// conditions in the order of the fields of [`Sides`].
pub fn check_sided(
    statement: &Statement<'_>,
    sides: &Sides<'_>,
    choice: &Choice,
    claimed: &[i128],
) -> Result<(), Fault> {
    check_choice(statement, choice, claimed)?;
    for table in sides.tables() {
        check_pairs(table, choice)?;
    }
    sides::check(sides, choice)
}

fn tables<'a>(statement: &Statement<'a>) -> impl Iterator<Item = &'a Table> {
    let of_criteria = statement.criteria.iter().map(|criterion| criterion.table);
    of_criteria.chain(statement.windows.iter().map(|window| window.table))
}

fn check_pairs(table: &Table, choice: &Choice) -> Result<(), Fault> {
    let expected = table.shape().slots;
    let found = choice.items().len();
    if expected != found {
        return Err(Fault::Length { expected, found });
    }
    match choice.pairs().find(|&(slot, item)| table.get(slot, item).is_none()) {
        None => Ok(()),
        Some((slot, item)) => Err(Fault::Forbidden { slot, item }),
    }
}

fn check_once(choice: &Choice) -> Result<(), Fault> {
    let mut by_item: Vec<(Item, Slot)> = choice.pairs().map(|(slot, item)| (item, slot)).collect();
    by_item.sort_unstable();
    match by_item.windows(2).find(|two| two[0].0 == two[1].0) {
        None => Ok(()),
        Some(two) => Err(Fault::Twice { item: two[0].0, first: two[0].1, second: two[1].1 }),
    }
}

fn check_changes(statement: &Statement<'_>, choice: &Choice) -> Result<(), Fault> {
    let changes = statement.changes;
    for &(slot, item) in &changes.forced {
        if choice.item(slot) != Some(item) {
            return Err(Fault::NotForced { slot, item });
        }
    }
    for &(slot, item) in &changes.forbidden {
        if choice.item(slot) == Some(item) {
            return Err(Fault::Forbidden { slot, item });
        }
    }
    for &item in &changes.left_out {
        if choice.slot(item).is_some() {
            return Err(Fault::NotLeftOut { item });
        }
    }
    for &item in &changes.brought_in {
        if choice.slot(item).is_none() {
            return Err(Fault::NotBroughtIn { item });
        }
    }
    Ok(())
}

fn check_values(statement: &Statement<'_>, choice: &Choice, claimed: &[i128]) -> Result<(), Fault> {
    if claimed.len() != statement.criteria.len() {
        return Err(Fault::Claims { expected: statement.criteria.len(), found: claimed.len() });
    }
    for (criterion, (asked, &claimed)) in statement.criteria.iter().zip(claimed).enumerate() {
        let actual = evaluate(asked.measure, asked.table, choice)?;
        if actual != claimed {
            return Err(Fault::Value { criterion, claimed, actual });
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests;
