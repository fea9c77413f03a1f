//! What follows from the conditions alone, to a fixed point.
//!
//! Every rule takes more away where less is left, so that the order in which they are asked makes no difference to what
//! is left in the end.

use super::limits::Limit;
use crate::sides::{Neighbour, Sides};
use crate::verify::{Flaw, Region};
use crate::{Item, Slot};

/// The conditions that hold all over a tree.
pub(super) struct Conditions<'a> {
    pub(super) limits: Vec<Limit<'a>>,
    pub(super) sides: &'a Sides<'a>,
}

impl Conditions<'_> {
    /// What is left of a region; `None` if no choice is.
    pub(super) fn settled(&self, mut region: Region) -> Result<Option<Region>, Flaw> {
        loop {
            let before = size(&region);
            if !singles(&mut region) || !self.keep_limits(&mut region)? || !self.keep_neighbours(&mut region) {
                return Ok(None);
            }
            keep_items(self.sides, &mut region);
            if size(&region) == before {
                break;
            }
        }
        for limit in self.limits.iter().filter(|limit| limit.is_about_mean()) {
            if squares_exceed(&ends(limit, &region), limit.most)? {
                return Ok(None);
            }
        }
        Ok(Some(region))
    }

    fn keep_limits(&self, region: &mut Region) -> Result<bool, Flaw> {
        for limit in &self.limits {
            let holds = match limit.width(region.rows.len()) {
                Some(width) => keep_narrow(limit, width, region),
                None => keep_cheap(limit, region)?,
            };
            if !holds {
                return Ok(false);
            }
        }
        Ok(true)
    }

    fn keep_neighbours(&self, region: &mut Region) -> bool {
        self.sides.neighbours.iter().all(|limit| limit.most >= 0 && keep_close(limit, region))
    }
}

fn size(region: &Region) -> (usize, usize) {
    (region.rows.iter().map(Vec::len).sum(), region.must.len())
}

/// The only item of a slot goes nowhere else, and the only slot of an item that must be used takes nothing else; false
/// if some slot or item has none.
fn singles(region: &mut Region) -> bool {
    let mut taken: Vec<Option<Slot>> = vec![None; region.items];
    for (slot, row) in (0..).map(Slot::new).zip(&region.rows) {
        match row[..] {
            [] => return false,
            [item] if taken[item.index()].replace(slot).is_some() => return false,
            _ => {}
        }
    }
    region.retain(|slot, item| taken[item.index()].is_none_or(|only| only == slot));
    for item in region.must.clone() {
        let mut slots = (0..region.rows.len()).filter(|&slot| region.rows[slot].binary_search(&item).is_ok());
        match (slots.next(), slots.next()) {
            (None, _) => return false,
            (Some(only), None) => region.rows[only] = vec![item],
            _ => {}
        }
    }
    true
}

/// Conditions on which items are used, wherever they go. What contradicts itself shows in what is left.
fn keep_items(sides: &Sides<'_>, region: &mut Region) {
    if sides.together.is_empty() && sides.along.is_empty() && sides.exclusive.is_empty() {
        return;
    }
    let mut live = vec![false; region.items];
    let mut used = vec![false; region.items];
    for row in &region.rows {
        for item in row {
            live[item.index()] = true;
        }
        if let [item] = row[..] {
            used[item.index()] = true;
        }
    }
    region.must.iter().filter(|item| item.index() < region.items).for_each(|item| used[item.index()] = true);
    let is = |marks: &[bool], item: &Item| marks.get(item.index()).copied().unwrap_or(false);
    let mut out = vec![false; region.items];
    let mut must = region.must.clone();
    let mut leave = |item: &Item| {
        if let Some(out) = out.get_mut(item.index()) {
            *out = true;
        }
    };
    for set in &sides.together {
        if set.iter().any(|item| is(&used, item)) {
            must.extend(set);
        }
        if set.iter().any(|item| !is(&live, item)) {
            set.iter().for_each(&mut leave);
        }
    }
    for pair in &sides.along {
        if is(&used, &pair.item) {
            must.push(pair.with);
        }
        if !is(&live, &pair.with) {
            leave(&pair.item);
        }
    }
    for set in &sides.exclusive {
        if let Some(one) = set.iter().find(|item| is(&used, item)) {
            set.iter().filter(|item| *item != one).for_each(&mut leave);
        }
    }
    must.sort_unstable();
    must.dedup();
    region.must = must;
    region.retain(|_, item| !out[item.index()]);
}

/// Values farther than the width above the smallest largest value of a slot, or below the largest smallest one, are out.
fn keep_narrow(limit: &Limit<'_>, width: i128, region: &mut Region) -> bool {
    if width < 0 {
        return false;
    }
    let ends = ends(limit, region);
    let low = ends.iter().map(|&(low, _)| low).max().unwrap_or(0).saturating_sub(width);
    let high = ends.iter().map(|&(_, high)| high).min().unwrap_or(0).saturating_add(width);
    region.retain(|slot, item| (low..=high).contains(&i128::from(limit.value(slot, item))));
    true
}

/// Pairs that cost too much even if every other slot takes its cheapest item are out; false if even those do.
fn keep_cheap(limit: &Limit<'_>, region: &mut Region) -> Result<bool, Flaw> {
    let mut costs = Vec::new();
    let mut sum = 0_i128;
    for (slot, row) in (0..).map(Slot::new).zip(&region.rows) {
        let cost = |&item: &Item| limit.cost(limit.value(slot, item)).unwrap_or(Err(Flaw::Kind));
        let row: Vec<i128> = row.iter().map(cost).collect::<Result<_, _>>()?;
        let Some(&least) = row.iter().min() else { return Ok(false) };
        sum = sum.checked_add(least).ok_or(Flaw::Overflow)?;
        costs.push((least, row));
    }
    let spare = limit.most.saturating_sub(sum);
    for (row, (least, costs)) in region.rows.iter_mut().zip(costs) {
        let mut costs = costs.into_iter();
        row.retain(|_| costs.next().is_some_and(|cost| cost.saturating_sub(least) <= spare));
    }
    Ok(spare >= 0)
}

/// A value without one close enough on the other side is out.
fn keep_close(limit: &Neighbour<'_>, region: &mut Region) -> bool {
    let (one, other) = (limit.one.index(), limit.other.index());
    if one == other {
        return true;
    }
    for (slot, beside) in [(limit.one, limit.other), (limit.other, limit.one)] {
        let (Some(row), Some(rest)) = (region.rows.get(slot.index()), region.rows.get(beside.index())) else {
            return true;
        };
        let value = |slot: Slot, item: &Item| i128::from(limit.table.row(slot)[item.index()]);
        let mut values: Vec<i128> = rest.iter().map(|item| value(beside, item)).collect();
        values.sort_unstable();
        let is_near = |item: &&Item| {
            let own = value(slot, item);
            let at = values.partition_point(|&other| other < own - i128::from(limit.most));
            values.get(at).is_some_and(|&other| other <= own + i128::from(limit.most))
        };
        region.rows[slot.index()] = row.iter().filter(is_near).copied().collect();
    }
    true
}

/// The least and the greatest value of every slot that has one.
fn ends(limit: &Limit<'_>, region: &Region) -> Vec<(i128, i128)> {
    let end = |(slot, row): (Slot, &Vec<Item>)| {
        let values = || row.iter().map(|&item| i128::from(limit.value(slot, item)));
        Some((values().min()?, values().max()?))
    };
    (0..).map(Slot::new).zip(&region.rows).filter_map(end).collect()
}

/// Whether n·Σ(v − mean)² is above `most` for any numbers v that lie between these ends.
///
/// It is the least of n·Σ(v − m)² over all m, so no less than the least of n·Σd² with the distance d of m from the stretch
/// of every slot. That is convex in m, and between two neighbouring ends it is a parabola: with x the nearer ends of the k slots
/// that m lies outside of, it is least at their mean, n·(Σx² − (Σx)²/k).
fn squares_exceed(ends: &[(i128, i128)], most: i128) -> Result<bool, Flaw> {
    let mut corners: Vec<i128> = ends.iter().flat_map(|&(low, high)| [low, high]).collect();
    corners.sort_unstable();
    let slope = |m: i128| -> i128 { ends.iter().map(|&(low, high)| (m - high).max(0) - (low - m).max(0)).sum() };
    let at = corners.partition_point(|&corner| slope(corner) <= 0);
    let Some(&corner) = at.checked_sub(1).and_then(|at| corners.get(at)) else {
        return Ok(most < 0);
    };
    let nearer = |&(low, high): &(i128, i128)| {
        if high <= corner { Some(high) } else { (low > corner).then_some(low) }
    };
    // From the corner, so that numbers stay small.
    let nearer: Vec<i128> = ends.iter().filter_map(nearer).map(|x| x - corner).collect();
    let sum: i128 = nearer.iter().sum();
    let squares = nearer.iter().try_fold(0_i128, |sum, x| sum.checked_add(x.checked_mul(*x)?));
    let count = nearer.len() as i128;
    let scaled = |squares: i128| {
        let about = count.checked_mul(squares)?.checked_sub(sum.checked_mul(sum)?)?;
        about.checked_mul(ends.len() as i128)
    };
    let scaled = squares.and_then(scaled).ok_or(Flaw::Overflow)?;
    Ok(most < 0 || scaled > most.saturating_mul(count))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn squares_between_ends_by_hand() {
        // 0, 3 to 5, and 9: the mean that suits best is 4.5, which 4.5 can have, and 3·(4.5² + 4.5²) = 121.5.
        let ends = [(0, 0), (3, 5), (9, 9)];
        assert_eq!(squares_exceed(&ends, 121), Ok(true));
        assert_eq!(squares_exceed(&ends, 122), Ok(false));
        // Single numbers have their own squares: 1, 2 and 6 have the mean 3 and 3·(4 + 1 + 9) = 42.
        let single = [(1, 1), (2, 2), (6, 6)];
        assert_eq!(squares_exceed(&single, 41), Ok(true));
        assert_eq!(squares_exceed(&single, 42), Ok(false));
        // Stretches with a number in common can all have it.
        assert_eq!(squares_exceed(&[(0, 4), (4, 9), (-3, 7)], 0), Ok(false));
        assert_eq!(squares_exceed(&[(0, 4), (4, 9)], -1), Ok(true));
        assert_eq!(squares_exceed(&[], 0), Ok(false));
        assert_eq!(squares_exceed(&[(i128::MIN / 4, 0), (i128::MAX / 4, i128::MAX / 4)], 0), Err(Flaw::Overflow));
    }
}
