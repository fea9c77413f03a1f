//! Regions under windows, divided until no window is open.

use crate::best::window_starts;
use crate::problem::Problem;
use crate::region::{Family, Node, Region};
use crate::watch::Watch;
use std::collections::BTreeMap;

/// A region that cannot be divided further, with what a level found in it.
pub(crate) struct Leaf<'t, B> {
    pub(crate) region: Region<'t>,
    pub(crate) found: B,
}

/// The whole region under the problem's windows; `None` if some window alone cannot be held, or if it was ended early.
pub(crate) fn start<'t>(problem: &Problem<'t>, mut region: Region<'t>, watch: &Watch<'_>) -> Option<Node<'t>> {
    let mut families = Vec::new();
    for window in problem.windows() {
        if !watch.goes_on() {
            return None;
        }
        let (table, width) = (window.table, window.width);
        let family = Family { table, width, starts: window_starts(&region, table, width) };
        if family.starts.is_empty() {
            return None;
        }
        family.cut(&mut region.grid);
        families.push(family);
    }
    Some(Node { region, families })
}

/// Looks at nodes in order of their keys, lowest first, and divides them; gives the undivided regions met, with their
/// keys, until `enough` says that a key is of no more use.
pub(crate) fn explore<'t, K: Ord, B>(
    nodes: Vec<Node<'t>>,
    relax: &mut impl FnMut(&Region<'t>) -> Option<(K, B)>,
    enough: impl Fn(&K, &[(K, Leaf<'t, B>)]) -> bool,
) -> Vec<(K, Leaf<'t, B>)> {
    let mut open = BTreeMap::new();
    let mut order = 0_u64;
    // Mostly there is one node, which is not divided.
    let mut leaves = Vec::with_capacity(1);
    let mut add = |open: &mut BTreeMap<_, _>, node: Node<'t>| {
        if let Some((key, found)) = relax(&node.region) {
            order += 1;
            // A map makes room for many entries at once: boxes keep that small.
            open.insert((key, order), Box::new((node, found)));
        }
    };
    for node in nodes {
        add(&mut open, node);
    }
    while let Some(((key, _), entry)) = open.pop_first() {
        if enough(&key, &leaves) {
            break;
        }
        let (node, found) = *entry;
        match node.split() {
            Some(halves) => {
                for half in halves {
                    add(&mut open, half);
                }
            }
            None => leaves.push((key, Leaf { region: node.region, found })),
        }
    }
    leaves
}

/// The least that `relax` finds in a region under the problem's windows, by its key; `None` if there is nothing.
///
/// What it finds in a part of a region must not be less than what it finds in the whole of it.
pub(crate) fn least_under_windows<'t, K: Ord, B>(
    problem: &Problem<'t>,
    region: Region<'t>,
    mut relax: impl FnMut(&Region<'t>) -> Option<(K, B)>,
) -> Option<(K, B)> {
    let node = start(problem, region, &Watch::unlimited())?;
    let (key, leaf) = explore(vec![node], &mut relax, |_, leaves| !leaves.is_empty()).pop()?;
    Some((key, leaf.found))
}
