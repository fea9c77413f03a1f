//! Parts that are alike to a frame, so that a pile need not be laid out whole.
//!
//! Two parts are interchangeable when their columns are equal in every table: no criterion and no
//! limit can tell one from the other. Of a class of such parts the best plan never uses one while an
//! earlier one stays out (exchanging them changes no value and makes the plan lexicographically
//! smaller), so with n positions the first n of the class are enough, and n + 1 where a re-solve
//! takes one of them away. A re-solve that wants a part beyond those is answered with a part of its
//! class in its stead.
//!
//! The pieces of a type are alike by themselves, in a stock of any size: of them as many are laid out as there are
//! positions that one may take, and a re-solve that takes one away takes all. They are a class apart, so that a
//! re-solve without them still has a measured part that is like them.

use std::collections::HashMap;
use std::hash::{BuildHasherDefault, Hasher};

use pairwright_proof::Item;

use super::admission::Relaxed;
use super::frame::Frame;
use super::layer::Layer;
use crate::job::Part;
use crate::reduction::Pair;

/// Stocks up to this size are laid out whole.
const FEW: usize = 256;

/// The parts that are laid out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Kept {
    /// Indices of the parts, ascending: the columns of the tables.
    pub(crate) parts: Vec<usize>,
    /// For every part of the stock the column of a part like it.
    stand_in: Vec<u32>,
    /// For every column the first column of its class.
    class: Vec<u32>,
    /// For every column that is a piece of a type the first piece of it.
    lots: Vec<Option<usize>>,
}

impl Kept {
    /// All parts of a small stock; of a pile the first few of every class.
    pub(crate) fn of(frame: &Frame<'_>, relaxed: Relaxed, layers: &[Layer]) -> Self {
        let count = frame.stock().parts.len();
        let stock = frame.stock();
        if count <= FEW && !stock.parts.iter().any(Part::is_type) {
            let own: Vec<u32> = (0..).take(count).collect();
            let lots = vec![None; count];
            return Self { parts: (0..count).collect(), stand_in: own.clone(), class: own, lots };
        }
        let mut classes: HashMap<u64, Vec<Class>, BuildHasherDefault<AsIs>> = HashMap::default();
        let stand_in = Vec::with_capacity(count);
        let mut kept = Self { parts: Vec::new(), stand_in, class: Vec::new(), lots: Vec::new() };
        let mut column = Vec::new();
        for part in 0..count {
            let lot = stock.parts[part].is_type().then(|| stock.first_alike(part));
            fill(&mut column, frame, relaxed, layers, part);
            let places = column.iter().take(frame.question.positions.len()).flatten().count();
            if let Some(own) = lot.or((count <= FEW).then_some(part)) {
                column.push(i64::try_from(own).ok());
            }
            let enough = if lot.is_some() { places } else { places + 1 };
            let same_hash = classes.entry(hash(&column)).or_default();
            let at = same_hash.iter().position(|class| class.column == column).unwrap_or_else(|| {
                same_hash.push(Class { column: column.clone(), members: 0, first: kept.parts.len() });
                same_hash.len() - 1
            });
            let class = &mut same_hash[at];
            if class.members < enough && places > 0 || class.members == 0 {
                class.members += 1;
                kept.stand_in.push(u32::try_from(kept.parts.len()).unwrap_or(u32::MAX));
                kept.parts.push(part);
                kept.lots.push(lot);
                kept.class.push(u32::try_from(class.first).unwrap_or(u32::MAX));
            } else {
                kept.stand_in.push(u32::try_from(class.first).unwrap_or(u32::MAX));
            }
        }
        kept
    }

    /// The column of a part like `part`: its own if it is laid out.
    pub(crate) fn column(&self, part: usize) -> u32 {
        self.stand_in[part]
    }

    /// The columns of a part and of all pieces like it.
    pub(crate) fn items_alike(&self, part: usize) -> impl Iterator<Item = Item> {
        let own = self.stand_in[part];
        let lot = self.lots[own as usize];
        let is_alike = move |&(column, of): &(u32, &Option<usize>)| column == own || lot.is_some() && *of == lot;
        (0..).zip(&self.lots).filter(is_alike).map(|(column, _)| Item::new(column))
    }

    /// The first part of `among` that is like `part`, itself included.
    pub(crate) fn like(&self, part: usize, among: impl IntoIterator<Item = usize>) -> Option<usize> {
        let class = |part: usize| self.class[self.stand_in[part] as usize];
        let wanted = class(part);
        among.into_iter().find(|&other| class(other) == wanted)
    }
}

#[derive(Debug)]
struct Class {
    column: Vec<Option<i64>>,
    members: usize,
    /// Column of its first member.
    first: usize,
}

/// The values of a part in every position, table after table.
fn fill(column: &mut Vec<Option<i64>>, frame: &Frame<'_>, relaxed: Relaxed, layers: &[Layer], part: usize) {
    column.clear();
    let positions = 0..frame.question.positions.len();
    for layer in layers {
        column.extend(positions.clone().map(|position| layer.value(frame, relaxed, Pair { position, part })));
    }
}

/// A hash of a column; columns that share one are still told apart by their values.
fn hash(column: &[Option<i64>]) -> u64 {
    column.iter().fold(0, |hash: u64, value| {
        let word = value.map_or(u64::MAX, i64::cast_unsigned);
        (hash.rotate_left(5) ^ word).wrapping_mul(0x517C_C1B7_2722_0A95)
    })
}

/// Takes a number that is a hash already for what it is.
#[derive(Default)]
struct AsIs(u64);

impl Hasher for AsIs {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        self.0 = bytes.iter().fold(self.0, |hash, &byte| (hash << 8) ^ u64::from(byte));
    }

    fn write_u64(&mut self, hash: u64) {
        self.0 = hash;
    }
}
