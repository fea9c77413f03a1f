//! Readings gathered into cells: one part in one position, spot by spot.

use super::{PartId, PositionId, Reading};
use crate::statistics::Summary;
use std::ops::Range;

/// Repeats: readings of one part in one position at one spot.
#[derive(Clone, Copy, Debug)]
pub(super) struct Repeats {
    /// First of them in [`Cells::order`].
    pub(super) first: usize,
    /// Number of the spot.
    pub(super) spot: Option<u32>,
    pub(super) summary: Summary,
}

impl Repeats {
    pub(super) fn count(&self) -> f64 {
        self.summary.count as f64
    }

    pub(super) fn range(&self) -> Range<usize> {
        self.first..self.first + self.summary.count
    }
}

/// One part in one position.
#[derive(Clone, Debug)]
pub(super) struct Cell {
    pub(super) part: PartId,
    pub(super) position: PositionId,
    /// Its repeats, one entry a spot, in [`Cells::repeats`].
    pub(super) spots: Range<usize>,
    /// Mean over the spots of the means of their repeats.
    pub(super) value: f64,
}

/// All readings that count, sorted by part, position, spot and value, so that nothing depends on the order they were taken in.
#[derive(Clone, Debug)]
pub(super) struct Cells {
    /// Indices into the caller's readings.
    pub(super) order: Vec<usize>,
    pub(super) repeats: Vec<Repeats>,
    pub(super) list: Vec<Cell>,
    /// The cells of part i are `by_part[i]..by_part[i + 1]`.
    by_part: Vec<usize>,
}

impl Cells {
    /// Gathers the readings whose place in the list `counts`. O(n log n).
    pub(super) fn gather(parts: usize, readings: &[Reading], counts: impl Fn(usize) -> bool) -> Self {
        let mut order: Vec<usize> = (0..readings.len()).filter(|&at| counts(at)).collect();
        order.sort_by(|&a, &b| {
            let (a, b) = (&readings[a], &readings[b]);
            (a.part, a.position, a.spot)
                .cmp(&(b.part, b.position, b.spot))
                .then(a.value.total_cmp(&b.value))
                .then(a.line.cmp(&b.line))
        });
        let repeats = gather_repeats(readings, &order);
        let list = gather_cells(readings, &order, &repeats);
        let mut by_part = vec![0; parts + 1];
        for cell in &list {
            by_part[cell.part.index() + 1] += 1;
        }
        for part in 0..parts {
            by_part[part + 1] += by_part[part];
        }
        Self { order, repeats, list, by_part }
    }

    /// Places of the cells of a part.
    pub(super) fn of_part(&self, part: usize) -> Range<usize> {
        self.by_part[part]..self.by_part[part + 1]
    }

    pub(super) fn spots(&self, cell: &Cell) -> &[Repeats] {
        &self.repeats[cell.spots.clone()]
    }

    /// Sum of squares and degrees of freedom of the repeats about their means: pure error.
    pub(super) fn pure_error(&self) -> (f64, usize) {
        self.repeats.iter().fold((0.0, 0), |(squares, dof), repeats| {
            let summary = &repeats.summary;
            (squares + summary.sum_squares, dof + summary.dof())
        })
    }
}

fn gather_repeats(readings: &[Reading], order: &[usize]) -> Vec<Repeats> {
    let key = |at: &usize| {
        let reading = &readings[*at];
        (reading.part, reading.position, reading.spot)
    };
    let mut values = Vec::new();
    let mut first = 0;
    order
        .chunk_by(|a, b| key(a) == key(b))
        .map(|chunk| {
            values.clear();
            values.extend(chunk.iter().map(|&at| readings[at].value));
            let repeats = Repeats { first, spot: readings[chunk[0]].spot, summary: Summary::of(&values) };
            first += chunk.len();
            repeats
        })
        .collect()
}

fn gather_cells(readings: &[Reading], order: &[usize], repeats: &[Repeats]) -> Vec<Cell> {
    let reading = |repeats: &Repeats| &readings[order[repeats.first]];
    let key = |repeats: &Repeats| (reading(repeats).part, reading(repeats).position);
    let mut first = 0;
    repeats
        .chunk_by(|a, b| key(a) == key(b))
        .map(|chunk| {
            let (part, position) = key(&chunk[0]);
            let sum: f64 = chunk.iter().map(|repeats| repeats.summary.mean).sum();
            let spots = first..first + chunk.len();
            first = spots.end;
            Cell { part, position, spots, value: sum / chunk.len() as f64 }
        })
        .collect()
}
