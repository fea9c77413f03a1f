//! Spreads as one value moves: straight lines in pieces.

/// The smallest and the largest of the values that stay.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rest {
    pub(super) low: i128,
    pub(super) high: i128,
}

impl Rest {
    /// The same with every value turned.
    pub(super) fn turned(&self) -> Self {
        Self { low: -self.high, high: -self.low }
    }

    /// The spread together with one more value.
    fn with(&self, value: i128) -> i128 {
        self.high.max(value) - self.low.min(value)
    }
}

/// The first value from `from` on at which the choice is not best any more; it is at `from`.
///
/// The choice is worth `own` with that value, or `best` whatever it is; a choice without the pair is worth `without`, one
/// with it what one of `rests` makes of it.
pub(super) fn first_worse(
    from: i128,
    own: Option<Rest>,
    best: i128,
    without: Option<i128>,
    rests: &[Rest],
) -> Option<i128> {
    let worth = |value: i128| own.map_or(best, |own| own.with(value));
    let ends = |rest: &Rest| [rest.low, rest.high];
    let mut bends: Vec<i128> = own.iter().flat_map(ends).collect();
    let against_rest = rests.iter().filter_map(|rest| {
        let bends: Vec<i128> = bends.iter().copied().chain(ends(rest)).collect();
        first_above(from, bends, |value| worth(value) - rest.with(value))
    });
    let first = against_rest.min();
    bends.push(from);
    let against_without = without.and_then(|without| first_above(from, bends, |value| worth(value) - without));
    match (first, against_without) {
        (Some(one), Some(other)) => Some(one.min(other)),
        (one, other) => one.or(other),
    }
}

/// The first value from `from` on at which a function is above 0 that is straight between its bends.
fn first_above(from: i128, mut bends: Vec<i128>, lead: impl Fn(i128) -> i128) -> Option<i128> {
    bends.retain(|&bend| bend > from);
    bends.push(from);
    bends.sort_unstable();
    for (at, &start) in bends.iter().enumerate() {
        let here = lead(start);
        if here > 0 {
            return Some(start);
        }
        let next = bends.get(at + 1).copied();
        if next == Some(start) || next == Some(start + 1) {
            continue;
        }
        let slope = lead(start + 1) - here;
        if slope > 0 {
            // here + k·slope ≥ 1
            let steps = (1 - here + slope - 1).div_euclid(slope);
            if next.is_none_or(|next| start + steps < next) {
                return Some(start + steps);
            }
        }
    }
    None
}
