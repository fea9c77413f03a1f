//! The fits a second time, from the raw job.
//!
//! Deck clearance by full Gaussian elimination on the normal equations of all parts and positions
//! at once (the product eliminates the parts first and never forms this matrix), every reading with
//! weight one: equal to any weighting where every pair was read equally often. The product brings the
//! readings of a piston to one of its rods; here every rod is taken away whole, and the rod in the
//! seat added whole. All else by the plain formulas in millimetres and cubic centimetres.

use pairwright_engine::job::{FitName, HeadSeat, Job, Positive};

/// What stands at a position, by index.
#[derive(Clone, Copy, Debug)]
pub struct Stand {
    /// The cylinder.
    pub position: usize,
    /// The piston.
    pub piston: usize,
    /// The rod, where there is one.
    pub rod: Option<usize>,
    /// The head of the bank.
    pub head: usize,
    /// The gasket.
    pub gasket: usize,
}

/// Predicted deck clearance of every pair in nm, `[position][part]`, by ordinary least squares: on a
/// rod without length where the readings say which rod they were taken on. `None` where the readings
/// do not tie the pair.
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
        let rod = row.rod.or(deck.control_rod).and_then(|rod| column(job, "rod", "length", rod));
        let value = sign * row.value.ticks() as f64 - 1e6 * rod.unwrap_or(0.0);
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

/// A fit of what stands at a position, in mm, cc, grams or as a ratio; `None` where something is missing.
/// `decks` is what [`deck`] gives for the job, or nothing where it has no readings.
#[must_use]
pub fn fit(job: &Job, decks: Option<&[Vec<Option<f64>>]>, name: FitName, at: Stand) -> Option<f64> {
    let in_cylinder = |name: &str| job.positions("cylinder")?.columns.value(name, at.position).map(size);
    let bore = || in_cylinder("bore").or(job.engine.bore.map(size));
    let stroke = || in_cylinder("throw").map(|throw| 2.0 * throw).or(job.engine.stroke.map(size));
    let deck = || deck_clearance(job, decks, stroke()?, at);
    let area = |bore: f64| std::f64::consts::PI * (bore / 2.0).powi(2);
    let thickness = || column(job, "gasket", "thickness", at.gasket);
    let clearance = || {
        let sized = || Some(area(column(job, "gasket", "bore", at.gasket)?) * thickness()? / 1e3);
        let gasket = column(job, "gasket", "gasket", at.gasket).or_else(sized)?;
        let crevice = in_cylinder("crevice").or(job.engine.crevice.map(size)).unwrap_or(0.0);
        let dish = column(job, "piston", "dish", at.piston)?;
        Some(chamber(job, at)? + gasket + dish + crevice - area(bore()?) * deck()? / 1e3)
    };
    match name {
        FitName::Deck => deck(),
        FitName::PistonToHead => Some(thickness()? + column(job, "head", "recess", at.head).unwrap_or(0.0) - deck()?),
        FitName::ClearanceVolume => clearance(),
        FitName::Compression => {
            let top = clearance()?;
            Some((area(bore()?) * stroke()? / 1e3 + top) / top)
        }
        // Rockers stand at valves, not in cylinders: `lift_published` derives their lift.
        // Lift, and what is left of clearances, are derived in tests of their own.
        FitName::Lift | FitName::Entry(_) => None,
        FitName::Skirt => Some(bore()? - column(job, "piston", "diameter", at.piston)?),
        FitName::Mass => {
            let rod = at.rod.and_then(|rod| column(job, "rod", "mass", rod));
            Some(column(job, "piston", "mass", at.piston)? + rod.unwrap_or(0.0))
        }
        FitName::Declared(_) => declared(job, name, at),
    }
}

/// A declared fit: what every term names, times its factor, one after the other.
fn declared(job: &Job, name: FitName, at: Stand) -> Option<f64> {
    let terms = job.fits.get(name)?.terms.iter();
    let value = |owner: &str, name: &str| match owner {
        "cylinder" => job.positions("cylinder")?.columns.value(name, at.position).map(size),
        "piston" => column(job, owner, name, at.piston),
        "rod" => column(job, owner, name, at.rod?),
        "head" => column(job, owner, name, at.head),
        _ => column(job, owner, name, at.gasket),
    };
    terms.map(|term| Some(term.times as f64 / 1e6 * value(&term.owner, &term.column)?)).sum()
}

/// Deck clearance in mm: as read, else throw + rod + compression height - deck height.
fn deck_clearance(job: &Job, decks: Option<&[Vec<Option<f64>>]>, stroke: f64, at: Stand) -> Option<f64> {
    let rod = at.rod.and_then(|rod| column(job, "rod", "length", rod));
    if let Some(decks) = decks {
        return Some(decks[at.position][at.piston]? / 1e6 + rod.unwrap_or(0.0));
    }
    let own = job.positions("cylinder")?.columns.value("deck_height", at.position);
    let height = own.or(job.engine.deck_height).map(size)?;
    let rod = rod.or(job.engine.rod_length.map(size))?;
    Some(stroke / 2.0 + rod + column(job, "piston", "compression_height", at.piston)? - height)
}

/// The volume in cc of the chamber over a cylinder: the mean of its pours, else as typed.
fn chamber(job: &Job, at: Stand) -> Option<f64> {
    let bank = job.banks.iter().find(|bank| bank.cylinders.contains(&at.position))?;
    let volume = |chamber: usize| {
        let rows = job.chambers.iter().flat_map(|pours| &pours.rows);
        let pours: Vec<f64> = rows
            .filter(|row| !row.leave_out && (row.head, row.chamber) == (at.head, chamber))
            .map(|row| size(row.value))
            .collect();
        let typed = column(job, "head", &format!("chamber_{}", chamber + 1), at.head);
        if pours.is_empty() { typed } else { Some(pours.iter().sum::<f64>() / pours.len() as f64) }
    };
    let chambers: Vec<f64> = (0..8).map_while(volume).collect();
    let mut front_to_back = bank.cylinders.clone();
    if bank.head == Some(HeadSeat::Turned) {
        front_to_back.reverse();
    }
    let place = front_to_back.iter().position(|&cylinder| cylinder == at.position)?;
    (chambers.len() == bank.cylinders.len()).then(|| chambers[place])
}

/// A typed value in mm, cc, grams or as a ratio.
fn size(amount: pairwright_engine::quantity::Amount) -> f64 {
    let ticks = amount.ticks() as f64;
    let mass = amount.unit().dimension() == pairwright_engine::quantity::Dimension::Mass;
    if mass { ticks / 1e4 } else { ticks / 1e6 }
}

fn column(job: &Job, kind: &str, name: &str, part: usize) -> Option<f64> {
    job.stock(kind)?.columns.value(name, part).map(size)
}
