//! Bounds by prices: what every slot costs at least, and which servings cost too much.

use super::field::{Field, Rule, Serving};
use super::node::Node;

/// Numbers left the range of exact arithmetic.
#[derive(Debug)]
pub(super) struct Beyond;

/// Prices in force.
#[derive(Debug)]
pub(super) struct Priced {
    pub(super) scale: i128,
    pub(super) about: i128,
    /// For every item, or empty for no prices at all.
    pub(super) items: Vec<i128>,
}

impl Priced {
    fn price(&self, item: usize) -> i128 {
        self.items.get(item).copied().unwrap_or(0)
    }

    /// What a serving costs less the prices of its items, and all of it `scale` times.
    fn cost(&self, field: &Field, serving: &Serving) -> Option<i128> {
        let value = i128::from(serving.value);
        let cost = match field.rule {
            Rule::Total { sign, .. } => value.checked_mul(sign)?,
            Rule::Squares { .. } | Rule::Mean { .. } => {
                let slots = i128::try_from(field.pile.slots).ok()?;
                let squared = value.checked_mul(value)?.checked_mul(slots)?;
                squared.checked_sub(self.about.checked_mul(2)?.checked_mul(value)?)?
            }
            Rule::Free | Rule::Spread { .. } => return None,
        };
        let cost = cost.checked_mul(self.scale)?;
        serving.items.iter().try_fold(cost, |cost, &item| cost.checked_sub(self.price(item)))
    }

    /// What all servings together may cost, `scale` times, if their sum is between these ends.
    fn most(&self, field: &Field, [low, high]: [i128; 2]) -> Option<i128> {
        let limit = match field.rule {
            Rule::Total { most, .. } => most,
            Rule::Mean { most } => {
                let gain = |sum: i128| twice(self.about)?.checked_mul(sum)?.checked_sub(sum.checked_mul(sum)?);
                most.checked_sub(gain(low)?.min(gain(high)?))?
            }
            Rule::Squares { target, most } => {
                let aim = i128::try_from(field.pile.slots).ok()?.checked_mul(target)?;
                let turn = twice(self.about.checked_sub(aim)?)?;
                let gain = turn.checked_mul(low)?.min(turn.checked_mul(high)?).checked_add(aim.checked_mul(aim)?)?;
                most.checked_sub(gain)?
            }
            Rule::Free | Rule::Spread { .. } => return None,
        };
        limit.checked_mul(self.scale)
    }
}

fn twice(number: i128) -> Option<i128> {
    number.checked_mul(2)
}

/// Whether the rule is one that prices can be asked for.
pub(super) fn can_price(field: &Field) -> bool {
    !matches!(field.rule, Rule::Free | Rule::Spread { .. })
}

/// What is in force before any step.
pub(super) fn at_start(field: &Field) -> Result<Option<Priced>, Beyond> {
    let about = match (field.rule, field.total) {
        (Rule::Total { .. }, _) => 0,
        (Rule::Squares { .. } | Rule::Mean { .. }, Some(total)) => total,
        (Rule::Squares { target, .. }, None) => {
            i128::try_from(field.pile.slots).ok().and_then(|slots| slots.checked_mul(target)).ok_or(Beyond)?
        }
        _ => return Ok(None),
    };
    Ok(Some(Priced { scale: 1, about, items: Vec::new() }))
}

/// Drops the servings that cost more than the claim leaves; false if every arrangement does. Every slot has servings.
pub(super) fn sieve(field: &Field, node: &mut Node, priced: &Priced) -> Result<bool, Beyond> {
    let reach = node.reach(field);
    if reach[0] > reach[1] {
        return Ok(false);
    }
    let most = priced.most(field, reach).ok_or(Beyond)?;
    let own = |&serving: &usize| priced.cost(field, &field.servings[serving]);
    let costs: Vec<i128> = node.open.iter().map(own).collect::<Option<_>>().ok_or(Beyond)?;
    let mut least = vec![i128::MAX; field.pile.slots];
    for (&serving, &cost) in node.open.iter().zip(&costs) {
        let least = &mut least[field.servings[serving].slot];
        *least = cost.min(*least);
    }
    let slots = least.iter().try_fold(0_i128, |sum, &cost| sum.checked_add(cost)).ok_or(Beyond)?;
    let bound = slots.checked_add(of_items(field, node, priced).ok_or(Beyond)?).ok_or(Beyond)?;
    if bound > most {
        return Ok(false);
    }
    let spare = most.saturating_sub(bound);
    let mut costs = costs.into_iter();
    node.open.retain(|&serving| {
        let dearer = costs.next().and_then(|cost| cost.checked_sub(least[field.servings[serving].slot]));
        dearer.is_some_and(|dearer| dearer <= spare)
    });
    Ok(true)
}

/// What the prices of the items used come to at least: all of them where all are used, else those below 0 that some
/// serving holds.
fn of_items(field: &Field, node: &Node, priced: &Priced) -> Option<i128> {
    if priced.items.is_empty() {
        return Some(0);
    }
    let mut counts = vec![field.all_used; field.pile.items];
    for &item in node.open.iter().flat_map(|&serving| &field.servings[serving].items) {
        counts[item] |= priced.price(item) < 0;
    }
    let counted = (0..counts.len()).filter(|&item| counts[item]);
    counted.map(|item| priced.price(item)).try_fold(0, i128::checked_add)
}
