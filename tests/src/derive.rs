//! The fits a second time, from the raw job.
//!
//! Deck clearance by full Gaussian elimination on the normal equations of all parts and positions
//! at once (the product eliminates the parts first and never forms this matrix), every reading with
//! weight one: equal to any weighting where every pair was read equally often. Skirt clearance and
//! mass by plain subtraction and look-up.

use pairwright_engine::job::{Job, Positive};

/// Predicted deck clearance of every pair in nm, `[position][part]`, by ordinary least squares;
/// `None` where the readings do not tie the pair.
///
/// # Panics
/// Panics when the job has no readings, cylinders or pistons: it is for tests.
#[must_use]
pub fn deck(job: &Job) -> Vec<Vec<Option<f64>>> {
    let deck = job.deck.as_ref().expect("a test that derives deck clearance has readings");
    let positions = job.positions("cylinder").expect("cylinders").len();
    let parts = job.stock("piston").expect("pistons").parts.len();
    let size = parts + positions;
    let sign = if deck.positive == Positive::Below { -1.0 } else { 1.0 };
    let mut normal = vec![vec![0.0; size + 1]; size];
    let mut group: Vec<usize> = (0..size).collect();
    for row in deck.rows.iter().filter(|row| !row.leave_out) {
        let (part, position) = (row.part, parts + row.position);
        let value = sign * row.value.ticks() as f64;
        for (a, b) in [(part, part), (part, position), (position, part), (position, position)] {
            normal[a][b] += 1.0;
        }
        normal[part][size] += value;
        normal[position][size] += value;
        let (keep, drop) = (group[part], group[position]);
        group.iter_mut().filter(|of| **of == drop).for_each(|of| *of = keep);
    }
    let effects = eliminate(normal);
    let tied = |position: usize, part: usize| group[part] == group[parts + position];
    let value = |position: usize, part: usize| tied(position, part).then(|| effects[part] + effects[parts + position]);
    (0..positions).map(|position| (0..parts).map(|part| value(position, part)).collect()).collect()
}

/// Gauss–Jordan with full row pivoting; a column without a pivot is a free unknown, set to zero.
fn eliminate(mut rows: Vec<Vec<f64>>) -> Vec<f64> {
    let size = rows.len();
    let mut pivot_of = vec![None; size];
    let mut next = 0;
    for column in 0..size {
        let best = (next..size).max_by(|&a, &b| rows[a][column].abs().total_cmp(&rows[b][column].abs()));
        let Some(best) = best.filter(|&row| rows[row][column].abs() > 1e-9) else { continue };
        rows.swap(next, best);
        let pivot = rows[next].clone();
        for (row, cells) in rows.iter_mut().enumerate() {
            let factor = if row == next { 0.0 } else { cells[column] / pivot[column] };
            for (cell, from) in cells.iter_mut().zip(&pivot) {
                *cell -= factor * from;
            }
        }
        pivot_of[column] = Some(next);
        next += 1;
    }
    (0..size).map(|column| pivot_of[column].map_or(0.0, |row: usize| rows[row][size] / rows[row][column])).collect()
}

/// Skirt clearance of a pair in nm: the cylinder's own bore, else the engine's, less the diameter.
#[must_use]
pub fn skirt(job: &Job, position: usize, part: usize) -> Option<i64> {
    let own = job.positions("cylinder")?.columns.value("bore", position);
    let bore = own.or(job.engine.bore)?.ticks();
    Some(bore - job.stock("piston")?.columns.value("diameter", part)?.ticks())
}

/// Mass of a part in ticks of 0.1 mg.
#[must_use]
pub fn mass(job: &Job, part: usize) -> Option<i64> {
    Some(job.stock("piston")?.columns.value("mass", part)?.ticks())
}
