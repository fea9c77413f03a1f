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
    /// Compares so many fields of `size` values each; `None` is a value that is not there.
    ///
    /// O(n · size) as long as fields differ soon.
    pub(super) fn of(outers: usize, size: usize, value: impl Fn(usize, usize) -> Option<i64>) -> Self {
        let mut first_of: BTreeMap<u64, Vec<usize>> = BTreeMap::new();
        let mut same = Vec::with_capacity(outers);
        for outer in 0..outers {
            let known = first_of.entry(hash((0..size).map(|at| value(outer, at)))).or_default();
            let equal = |other: &&usize| (0..size).all(|at| value(outer, at) == value(**other, at));
            same.push(known.iter().find(equal).copied().unwrap_or_else(|| {
                known.push(outer);
                outer
            }));
        }
        let firsts: Vec<usize> = first_of.into_values().flatten().collect();
        let mut within = BTreeMap::new();
        if firsts.len() <= FEW {
            let holds = |more: usize, less: usize| {
                more != less && (0..size).all(|at| value(less, at).is_none_or(|own| value(more, at) == Some(own)))
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
fn hash(values: impl Iterator<Item = Option<i64>>) -> u64 {
    values.fold(0, |hash: u64, value| {
        let word = value.map_or(u64::MAX, i64::cast_unsigned);
        (hash.rotate_left(5) ^ word).wrapping_mul(0x517C_C1B7_2722_0A95)
    })
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
        let likeness = Likeness::of(4, 3, |outer, at| fields[outer][at]);
        assert_eq!(likeness.fewest(&[0, 1, 2, 3]), [1, 3]);
        assert_eq!(likeness.fewest(&[0, 2, 3]), [2, 3]);
        assert_eq!(likeness.fewest(&[0, 3]), [0, 3]);
    }
}
