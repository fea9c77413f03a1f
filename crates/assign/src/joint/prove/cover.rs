//! Items that all triples have one of, fewer than there are slots.

use std::collections::BTreeSet;

use pairwright_proof::{Item, Step};

use super::tree::augment;
use crate::joint::ground::Triple;
use crate::joint::pairing::{MOST, paired};

/// The step that closes triples whose items of both kinds cannot be paired for all slots: by König's theorem (1931, from
/// memory) a largest pairing has as many pairs as the fewest items that every pair has one of.
pub(super) fn cover(triples: &[Triple], slots: usize, [firsts, seconds]: [usize; 2]) -> Option<Step> {
    if firsts.max(seconds) <= MOST {
        let mut partners = [0; MOST];
        for triple in triples {
            partners[usize::from(triple.first)] |= 1 << triple.second;
        }
        if paired(partners.into_iter(), slots) == slots {
            return None;
        }
    }
    let mut partners = vec![BTreeSet::new(); firsts];
    for triple in triples {
        partners[usize::from(triple.first)].insert(triple.second);
    }
    let mut first_of = vec![None; seconds];
    let paired = (0..firsts).filter(|&first| augment(first, &partners, &mut first_of, &mut BTreeSet::new())).count();
    if paired >= slots {
        return None;
    }
    // Reached from what has no partner by paths that alternate: the items of the second kind there, and those of the first
    // that were not reached, are such a cover.
    let has_partner: BTreeSet<usize> = first_of.iter().copied().flatten().collect();
    let mut reached: BTreeSet<usize> = (0..firsts).filter(|first| !has_partner.contains(first)).collect();
    let mut waiting: Vec<usize> = reached.iter().copied().collect();
    let mut second = BTreeSet::new();
    while let Some(from) = waiting.pop() {
        for &partner in &partners[from] {
            let is_new = second.insert(partner);
            waiting.extend(first_of[usize::from(partner)].filter(|&first| is_new && reached.insert(first)));
        }
    }
    let item = |number: usize| u32::try_from(number).ok().map(Item::new);
    let first = (0..firsts).filter(|first| !reached.contains(first) && !partners[*first].is_empty());
    let second = second.into_iter().map(|number| Item::new(u32::from(number))).collect();
    Some(Step::Cover { first: first.filter_map(item).collect(), second })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn triples(pairs: &[(u16, u16)]) -> Vec<Triple> {
        let triple = |(at, &(first, second)): (u16, &(u16, u16))| Triple { value: 0, slot: at % 3, first, second };
        (0..).zip(pairs).map(triple).collect()
    }

    #[test]
    fn a_cover_hits_every_pair_and_is_smaller_than_the_slots() {
        // 0 and 1 meet 5 alone, 2 and 3 meet anything.
        let pairs = [(0, 5), (1, 5), (2, 0), (2, 1), (2, 5), (3, 5)];
        let Some(Step::Cover { first, second }) = cover(&triples(&pairs), 3, [4, 6]) else {
            panic!("two pairs at most")
        };
        let has = |items: &[Item], item: u16| items.contains(&Item::new(u32::from(item)));
        assert!(pairs.iter().all(|&(one, other)| has(&first, one) || has(&second, other)));
        assert_eq!(first.len() + second.len(), 2);
    }

    #[test]
    fn where_items_pair_often_enough_there_is_none() {
        assert_eq!(cover(&triples(&[(0, 0), (0, 1), (1, 0), (2, 2)]), 3, [3, 3]), None);
        assert!(cover(&triples(&[(0, 0), (0, 1), (1, 0), (2, 2)]), 4, [3, 3]).is_some());
    }
}
