//! The instances of the race: how they are drawn, and the files they stand in.

use std::error::Error;
use std::fs;
use std::path::Path;

use pairwright_assign::{Shape, Table};
use pairwright_bench::Numbers;

const SQUARE: [usize; 9] = [8, 16, 50, 100, 200, 500, 1000, 2000, 4000];
const OBLONG: [(usize, usize); 5] = [(8, 24), (50, 200), (250, 1000), (1000, 4000), (2000, 2200)];
const FAMILIES: [&str; 5] = ["uniform", "ties", "squares", "geometric", "additive"];

/// Writes those instances whose name has the word as `.npy`: int32, C order, `i32::MIN` where a pair is forbidden.
pub(crate) fn make(folder: &Path, word: &str) -> Result<(), Box<dyn Error>> {
    let shapes = SQUARE.into_iter().map(|size| (size, size)).chain(OBLONG);
    for (slots, items) in shapes {
        for (seed, family) in (1..).zip(FAMILIES) {
            for forbidden in [0, 20] {
                let name = format!("{family}-{slots:04}x{items:04}-{forbidden:02}.npy");
                if name.contains(word) {
                    let mut numbers = Numbers::new(seed * 1_000_000 + (slots * items) as u64 + forbidden);
                    fs::write(
                        folder.join(name),
                        npy(slots, items, &cells(&mut numbers, family, (slots, items), forbidden)),
                    )?;
                }
            }
        }
    }
    Ok(())
}

/// Values row by row; every slot keeps the item of its own number.
fn cells(numbers: &mut Numbers, family: &str, (slots, items): (usize, usize), forbidden: u64) -> Vec<i32> {
    let mut drawn = |bound: u64| i64::try_from(numbers.below(bound)).unwrap_or(0);
    let mut points = |count: usize| (0..count).map(|_| [drawn(1_000_000), drawn(1_000_000)]).collect::<Vec<_>>();
    let (of_slots, of_items) = (points(slots), points(items));
    let mut cells = Vec::with_capacity(slots * items);
    for (slot, [a, b]) in of_slots.into_iter().enumerate() {
        for (item, &[c, d]) in of_items.iter().enumerate() {
            let value = match family {
                "uniform" => drawn(1_000_000),
                "ties" => drawn(101),
                "squares" => ((a - c) / 32).pow(2),
                "geometric" => ((a - c).pow(2) + (b - d).pow(2)).isqrt(),
                _ => (a + c) / 10 + drawn(1001) - 500,
            };
            let is_there = slot == item || drawn(100) >= i64::try_from(forbidden).unwrap_or(0);
            cells.push(if is_there { i32::try_from(value).unwrap_or(i32::MAX) } else { i32::MIN });
        }
    }
    cells
}

fn npy(slots: usize, items: usize, cells: &[i32]) -> Vec<u8> {
    let mut header = format!("{{'descr': '<i4', 'fortran_order': False, 'shape': ({slots}, {items}), }}");
    while (10 + header.len() + 1) % 64 != 0 {
        header.push(' ');
    }
    header.push('\n');
    let mut bytes = b"\x93NUMPY\x01\x00".to_vec();
    bytes.extend(u16::try_from(header.len()).unwrap_or(0).to_le_bytes());
    bytes.extend(header.as_bytes());
    bytes.extend(cells.iter().flat_map(|cell| cell.to_le_bytes()));
    bytes
}

/// A table as [`make`] writes it.
pub(crate) fn read(path: &Path) -> Result<Table, Box<dyn Error>> {
    let bytes = fs::read(path)?;
    let (head, rest) = bytes.split_at_checked(10).ok_or("no header")?;
    let (header, cells) = rest.split_at_checked(u16::from_le_bytes([head[8], head[9]]).into()).ok_or("no header")?;
    let header = std::str::from_utf8(header)?;
    let shape = header.split_once("'shape': (").and_then(|(_, shape)| shape.split_once(')')).ok_or("no shape")?.0;
    let sizes: Vec<usize> = shape.split(", ").map(str::parse).collect::<Result<_, _>>()?;
    let [slots, items] = sizes[..] else { return Err("not two sizes".into()) };
    let mut cells = cells.as_chunks::<4>().0.iter().map(|&cell| i32::from_le_bytes(cell));
    let value = |cell: i32| (cell != i32::MIN).then_some(i64::from(cell));
    Ok(Table::from_fn(Shape { slots, items }, |_, _| cells.next().and_then(value))?)
}
