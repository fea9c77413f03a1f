//! Outer choices that come to the same: only one of them needs to be searched.

use std::collections::BTreeMap;

/// Fields that differ up to this many are set against each other.
const FEW: usize = 64;

/// Which outer choices have the same field of values, and which have one that is part of another's.
#[derive(Debug, Default)]
pub(super) struct Likeness {
    /// For every outer choice the first one with the same field.
    same: Vec<usize>,
    /// For every first one those whose fields hold all that its own holds, and more.
    within: BTreeMap<usize, Vec<usize>>,
}

impl Likeness {
    /// Compares so many fields: `cells` goes over what there is of a field by place, ascending, and `value` is what there is
    /// in a place.
    ///
    /// O(n · size) as long as fields differ soon.
    pub(super) fn of<C>(outers: usize, cells: impl Fn(usize) -> C, value: impl Fn(usize, usize) -> Option<i64>) -> Self
    where
        C: Iterator<Item = (usize, Option<i64>)>,
    {
        let mut first_of: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
        let mut same = Vec::with_capacity(outers);
        for outer in 0..outers {
            let known = first_of.entry(hash(cells(outer))).or_default();
            let equal = |other: &&usize| cells(outer).eq(cells(**other));
            same.push(known.iter().find(equal).copied().unwrap_or_else(|| {
                known.push(outer);
                outer
            }));
        }
        let firsts: Vec<usize> = first_of.into_values().flatten().collect();
        let mut within = BTreeMap::new();
        if firsts.len() <= FEW {
            let holds = |more: usize, less: usize| {
                more != less && cells(less).all(|(at, own)| own.is_none() || value(more, at) == own)
            };
            let others = |&less: &usize| (less, firsts.iter().copied().filter(|&more| holds(more, less)).collect());
            within = firsts.iter().map(others).collect();
        }
        Self { same, within }
    }

    /// So many of which nothing is known.
    pub(super) fn all_different(outers: usize) -> Self {
        Self { same: (0..outers).collect(), within: BTreeMap::new() }
    }

    /// Of these outer choices, ascending, those whose fields hold all that there is in any.
    pub(super) fn fewest(&self, outers: &[usize]) -> Vec<usize> {
        let mut kept: BTreeMap<usize, usize> = BTreeMap::new();
        for &outer in outers {
            kept.entry(self.same[outer]).or_insert(outer);
        }
        let is_within = |first: &usize| {
            self.within.get(first).is_some_and(|larger| larger.iter().any(|larger| kept.contains_key(larger)))
        };
        let mut left: Vec<usize> =
            kept.iter().filter(|(first, _)| !is_within(first)).map(|(_, &outer)| outer).collect();
        left.sort_unstable();
        left
    }
}

/// Fields with one hash are still told apart by their values.
fn hash(cells: impl Iterator<Item = (usize, Option<i64>)>) -> u64 {
    let mix = |hash: u64, word: u64| (hash.rotate_left(5) ^ word).wrapping_mul(0x517C_C1B7_2722_0A95);
    cells.fold(0, |hash, (at, value)| mix(mix(hash, at as u64), value.map_or(u64::MAX, i64::cast_unsigned)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn fields_that_are_the_same_or_part_of_another_are_left_out() {
        let fields = [
            vec![Some(1), None, Some(3)],
            vec![Some(1), Some(2), Some(3)],
            vec![Some(1), Some(2), Some(3)],
            vec![Some(1), Some(5), None],
        ];
        let cells = |outer: usize| fields[outer].iter().copied().enumerate().filter(|(_, value)| value.is_some());
        let likeness = Likeness::of(4, cells, |outer, at| fields[outer][at]);
        assert_eq!(likeness.fewest(&[0, 1, 2, 3]), [1, 3]);
        assert_eq!(likeness.fewest(&[0, 2, 3]), [2, 3]);
        assert_eq!(likeness.fewest(&[0, 3]), [0, 3]);
    }
}
