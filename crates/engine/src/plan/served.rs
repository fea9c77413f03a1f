//! Whether parts go round: for every position one of its own.

use pairwright_assign::{Couple, Slot, Table};

use super::couples::Numbering;

/// Whether the parts of either kind can serve every position, those of the other kind aside.
pub(super) fn serve(numbering: Numbering, triples: impl Iterator<Item = (Slot, Couple)>) -> bool {
    let Numbering { positions, firsts, seconds } = numbering;
    let mut open = [firsts, seconds].map(|parts| vec![vec![false; parts]; positions]);
    for (slot, items) in triples {
        open[0][slot.index()][items.first.index()] = true;
        open[1][slot.index()][items.second.index()] = true;
    }
    open.iter().all(|of_kind| all_served(of_kind))
}

/// Whether the parts of a table can serve every position.
pub(super) fn serves(table: &Table) -> bool {
    let open = |slot: Slot| table.items().map(|item| table.get(slot, item).is_some()).collect();
    all_served(&table.slots().map(open).collect::<Vec<Vec<bool>>>())
}

fn all_served(open: &[Vec<bool>]) -> bool {
    let parts = open.first().map_or(0, Vec::len);
    let mut holder = vec![None; parts];
    (0..open.len()).all(|position| augment(position, open, &mut holder, &mut vec![false; parts]))
}

/// Finds a part for a position, those that others hold being exchanged along an alternating path.
fn augment(position: usize, open: &[Vec<bool>], holder: &mut [Option<usize>], seen: &mut [bool]) -> bool {
    for part in 0..holder.len() {
        if open[position][part] && !std::mem::replace(&mut seen[part], true) {
            let is_free = match holder[part] {
                Some(other) => augment(other, open, holder, seen),
                None => true,
            };
            if is_free {
                holder[part] = Some(position);
                return true;
            }
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_are_exchanged_until_all_are_served_or_too_few_are_left() {
        let open = |rows: [[u8; 3]; 3]| rows.map(|row| row.map(|open| open == 1).to_vec());
        assert!(all_served(&open([[1, 1, 0], [1, 0, 0], [0, 1, 1]])));
        assert!(!all_served(&open([[1, 1, 0], [1, 0, 0], [0, 1, 0]])));
        assert!(!all_served(&open([[1, 1, 1], [1, 1, 1], [0, 0, 0]])));
        assert!(all_served(&[]));
    }
}
