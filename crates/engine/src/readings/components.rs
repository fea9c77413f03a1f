//! Which parts and positions the readings tie together.

use super::cells::Cells;
use super::{ComponentId, PositionId};

/// One connected component of the graph whose nodes are parts and positions and whose edges are cells.
#[derive(Clone, Debug, Default)]
pub(super) struct Component {
    /// Its positions, in the caller's order; the place in this list is the position's row in the component's matrices.
    pub(super) positions: Vec<PositionId>,
    pub(super) parts: usize,
    pub(super) cells: usize,
    pub(super) readings: usize,
}

/// The components, and where each part and position belongs. A part or position without a reading belongs nowhere.
#[derive(Clone, Debug)]
pub(super) struct Components {
    pub(super) list: Vec<Component>,
    pub(super) of_part: Vec<Option<ComponentId>>,
    pub(super) of_position: Vec<Option<ComponentId>>,
    /// Row of each position in its component; 0 for those that belong nowhere.
    pub(super) row: Vec<usize>,
}

impl Components {
    /// Union of the two ends of every cell. O(cells · α).
    pub(super) fn of(parts: usize, positions: usize, cells: &Cells) -> Self {
        let mut forest: Vec<usize> = (0..parts + positions).collect();
        let mut touched = vec![false; parts + positions];
        for cell in &cells.list {
            let (part, position) = (cell.part.index(), parts + cell.position.index());
            touched[part] = true;
            touched[position] = true;
            // Positions become roots, of which there are few: the chains stay short.
            let (part, position) = (root(&mut forest, part), root(&mut forest, position));
            forest[part.min(position)] = part.max(position);
        }
        let mut out = Self {
            list: Vec::new(),
            of_part: vec![None; parts],
            of_position: vec![None; positions],
            row: vec![0; positions],
        };
        let mut number: Vec<Option<ComponentId>> = vec![None; parts + positions];
        for (node, _) in touched.iter().enumerate().filter(|(_, touched)| **touched) {
            let root = root(&mut forest, node);
            let id = *number[root].get_or_insert_with(|| {
                out.list.push(Component::default());
                ComponentId::new(u32::try_from(out.list.len() - 1).unwrap_or(u32::MAX))
            });
            out.enter(node, parts, id);
        }
        out.count(cells);
        out
    }

    fn enter(&mut self, node: usize, parts: usize, id: ComponentId) {
        let component = &mut self.list[id.index()];
        if node < parts {
            self.of_part[node] = Some(id);
            component.parts += 1;
        } else if let Ok(number) = u32::try_from(node - parts) {
            self.of_position[node - parts] = Some(id);
            self.row[node - parts] = component.positions.len();
            component.positions.push(PositionId::new(number));
        }
    }

    fn count(&mut self, cells: &Cells) {
        for cell in &cells.list {
            if let Some(id) = self.of_part[cell.part.index()] {
                let component = &mut self.list[id.index()];
                component.cells += 1;
                component.readings += cells.spots(cell).iter().map(|repeats| repeats.summary.count).sum::<usize>();
            }
        }
    }

    /// Cells beyond those that a tree would need: the degrees of freedom of the misfit.
    pub(super) fn redundancy(&self) -> usize {
        self.list.iter().map(|component| component.cells + 1 - component.parts - component.positions.len()).sum()
    }
}

fn root(forest: &mut [usize], mut node: usize) -> usize {
    while forest[node] != node {
        forest[node] = forest[forest[node]];
        node = forest[node];
    }
    node
}
