//! Every assignment there is.

/// Calls `visit` with every choice of one allowed part for each position, no part twice.
/// `allowed[position][part]` says which pairs may be chosen. Grows as m!/(m − n)!.
pub fn every_assignment(allowed: &[Vec<bool>], visit: &mut impl FnMut(&[usize])) {
    let parts = allowed.first().map_or(0, Vec::len);
    descend(allowed, &mut vec![false; parts], &mut Vec::new(), visit);
}

fn descend(allowed: &[Vec<bool>], used: &mut [bool], chosen: &mut Vec<usize>, visit: &mut impl FnMut(&[usize])) {
    let Some(row) = allowed.get(chosen.len()) else {
        visit(chosen);
        return;
    };
    for (part, &may) in row.iter().enumerate() {
        if may && !used[part] {
            used[part] = true;
            chosen.push(part);
            descend(allowed, used, chosen, visit);
            chosen.pop();
            used[part] = false;
        }
    }
}

/// The least value of `cost` over every assignment; `None` where there is no assignment.
pub fn least<C: PartialOrd>(allowed: &[Vec<bool>], mut cost: impl FnMut(&[usize]) -> C) -> Option<C> {
    let mut best: Option<C> = None;
    every_assignment(allowed, &mut |chosen| {
        let cost = cost(chosen);
        if best.as_ref().is_none_or(|known| cost < *known) {
            best = Some(cost);
        }
    });
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_what_there_is() {
        let mut count = 0;
        every_assignment(&vec![vec![true; 5]; 3], &mut |_| count += 1);
        assert_eq!(count, 5 * 4 * 3);
        assert_eq!(least(&[vec![true], vec![true]], |_| 0), None);
    }
}
