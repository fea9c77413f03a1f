//! The peers in process, where they are bearable; both have to find our value.

use std::error::Error;
use std::hint::black_box;

use pairwright_assign::{Shape, Table};
use pathfinding::prelude::{Matrix, kuhn_munkres_min};

use crate::ours::{Figures, nanos};

const BEARABLE: usize = 250_000;

pub(crate) fn totals(table: &Table, value: i128) -> Result<Figures, Box<dyn Error>> {
    let Shape { slots, items } = table.shape();
    if slots * items > BEARABLE {
        return Ok(Vec::new());
    }
    let mut figures = vec![("pathfinding_ns", by_kuhn(table, value)?)];
    let is_full = table.slots().all(|slot| !table.row(slot).contains(&Table::FORBIDDEN));
    if slots == items && is_full {
        figures.push(("lapjv_ns", by_jonker(table, value)?));
    }
    Ok(figures)
}

/// The crate `pathfinding`, forbidden pairs dearer than all others together.
fn by_kuhn(table: &Table, value: i128) -> Result<u128, Box<dyn Error>> {
    let cells = table.slots().flat_map(|slot| table.row(slot));
    let costs = cells.map(|&value| if value == Table::FORBIDDEN { 1 << 45 } else { value }).collect();
    let matrix = Matrix::from_vec(table.shape().slots, table.shape().items, costs)?;
    if i128::from(kuhn_munkres_min(&matrix).0) != value {
        return Err("`pathfinding` has another value".into());
    }
    Ok(nanos(|| drop(black_box(kuhn_munkres_min(&matrix)))))
}

/// The crate `lapjv`, in floats that hold these values exactly.
fn by_jonker(table: &Table, value: i128) -> Result<u128, Box<dyn Error>> {
    let Shape { slots, items } = table.shape();
    let costs = table.slots().flat_map(|slot| table.row(slot)).map(|&value| value as f64).collect();
    let matrix = lapjv::Matrix::from_shape_vec((slots, items), costs)?;
    let (choice, _) = lapjv::lapjv(&matrix).map_err(|error| format!("{error:?}"))?;
    let found = table.slots().zip(&choice).map(|(slot, &item)| i128::from(table.row(slot)[item])).sum::<i128>();
    if found != value {
        return Err("`lapjv` has another value".into());
    }
    Ok(nanos(|| drop(black_box(lapjv::lapjv(&matrix)))))
}
