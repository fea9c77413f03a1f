//! What the readings leave open, and the fewest readings that would close it.

use super::linear::Fit;
use super::{ComponentId, PartId, PositionId};

/// One reading to take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tie {
    /// The part to put in.
    pub part: PartId,
    /// The position to put it in.
    pub position: PositionId,
}

/// What cannot be predicted, and the cheapest remedy.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Untied {
    /// How many pairs of a part and a position cannot be predicted.
    pub pairs: u64,
    /// Parts without a reading.
    pub parts: Vec<PartId>,
    /// Positions without a reading that no straight deck predicts either.
    pub positions: Vec<PositionId>,
    /// The fewest readings that tie everything together, one for each part, position or component that stands apart.
    ///
    /// Other positions are tied with the part read in most positions (a control part), other parts in the position read most often.
    pub ties: Vec<Tie>,
}

/// How often something was read: in how many cells, with how many readings.
type Weight = (usize, usize);

/// What other components are tied to.
struct Hub {
    component: Option<ComponentId>,
    part: PartId,
    position: PositionId,
}

/// Finds what is apart. `part` and `position` say which component each belongs to, positions on a line included. O(parts + cells).
pub(super) fn untied(
    fit: &Fit,
    part: impl Fn(PartId) -> Option<ComponentId>,
    position: impl Fn(PositionId) -> Option<ComponentId>,
) -> Untied {
    let components = &fit.components;
    let parts = || (0..).map(PartId::new).take(components.of_part.len());
    let positions = || (0..).map(PositionId::new).take(components.of_position.len());
    let mut tied = 0;
    for (number, component) in components.list.iter().enumerate() {
        let here = positions().filter(|&at| position(at).is_some_and(|id| id.index() == number));
        tied += component.parts as u64 * here.count() as u64;
    }
    let mut out = Untied {
        pairs: components.of_part.len() as u64 * components.of_position.len() as u64 - tied,
        parts: parts().filter(|&at| part(at).is_none()).collect(),
        positions: positions().filter(|&at| position(at).is_none()).collect(),
        ties: Vec::new(),
    };
    if components.of_part.is_empty() || components.of_position.is_empty() {
        return out;
    }
    let (of_part, of_position) = read_counts(fit);
    let hub = hub(fit, &of_part, &of_position);
    for (id, component) in (0..).map(ComponentId::new).zip(&components.list) {
        if hub.component != Some(id)
            && let Some(position) = most_read(component.positions.iter().copied(), |at| of_position[at.index()])
        {
            out.ties.push(Tie { part: hub.part, position });
        }
    }
    out.ties.extend(out.positions.iter().map(|&position| Tie { part: hub.part, position }));
    // Without any reading the first of these ties the hub's own position to its part already.
    let loose = out.parts.iter().filter(|&&at| hub.component.is_some() || at != hub.part);
    out.ties.extend(loose.map(|&part| Tie { part, position: hub.position }));
    out
}

fn read_counts(fit: &Fit) -> (Vec<Weight>, Vec<Weight>) {
    let mut of_part = vec![(0, 0); fit.components.of_part.len()];
    let mut of_position = vec![(0, 0); fit.components.of_position.len()];
    for cell in &fit.cells.list {
        let readings: usize = fit.cells.spots(cell).iter().map(|repeats| repeats.summary.count).sum();
        for weight in [&mut of_part[cell.part.index()], &mut of_position[cell.position.index()]] {
            weight.0 += 1;
            weight.1 += readings;
        }
    }
    (of_part, of_position)
}

/// The component with most readings, with its most read part and position; without any reading, the first part and position.
fn hub(fit: &Fit, of_part: &[Weight], of_position: &[Weight]) -> Hub {
    let components = &fit.components;
    let ids = (0..).map(ComponentId::new).take(components.list.len());
    let component = most_read(ids, |id| {
        let component = &components.list[id.index()];
        (component.readings, component.cells)
    });
    let parts = (0..).map(PartId::new).take(of_part.len());
    let positions = (0..).map(PositionId::new).take(of_position.len());
    let part = most_read(parts.filter(|at| components.of_part[at.index()] == component), |at| of_part[at.index()]);
    let position =
        most_read(positions.filter(|at| components.of_position[at.index()] == component), |at| of_position[at.index()]);
    Hub { component, part: part.unwrap_or(PartId::new(0)), position: position.unwrap_or(PositionId::new(0)) }
}

/// The first of those with the greatest weight.
fn most_read<T: Copy>(items: impl Iterator<Item = T>, weight: impl Fn(T) -> Weight) -> Option<T> {
    items.reduce(|best, item| if weight(item) > weight(best) { item } else { best })
}
