//! Bits of a whole row at once: 64 values make a word of those that are wanted.

use crate::vectors::widely;

/// Drops the bits whose values `keep` does not want.
pub(super) fn keep(words: &mut [u64], values: &[i64], keep: impl Fn(i64) -> bool) {
    if words.len() < 2 {
        return narrow(words, values, keep);
    }
    widely(
        #[inline(always)]
        || {
            let (whole, _) = values.as_chunks::<64>();
            for (word, values) in words.iter_mut().zip(whole) {
                let wanted = (0_u64..).zip(values).fold(0, |kept, (at, &value)| kept | u64::from(keep(value)) << at);
                *word &= wanted;
            }
        },
    );
    let whole = values.len() / 64;
    narrow(&mut words[whole..], &values[64 * whole..], keep);
}

/// The same with a second value beside each.
pub(super) fn keep_beside(words: &mut [u64], values: &[i64], beside: &[i64], keep: impl Fn(i64, i64) -> bool) {
    let both = |kept, (&value, &beside)| kept << 1 | u64::from(keep(value, beside));
    for ((word, values), beside) in words.iter_mut().zip(values.chunks(64)).zip(beside.chunks(64)) {
        if *word != 0 {
            *word &= values.iter().zip(beside).rev().fold(0, both);
        }
    }
}

fn narrow(words: &mut [u64], values: &[i64], keep: impl Fn(i64) -> bool) {
    for (word, values) in words.iter_mut().zip(values.chunks(64)) {
        if *word != 0 {
            *word &= values.iter().rev().fold(0, |kept, &value| kept << 1 | u64::from(keep(value)));
        }
    }
}
