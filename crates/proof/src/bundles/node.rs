//! Servings still open, and how a node opens.

use super::field::Field;
use super::prices::{self, Beyond, Priced};
use std::rc::Rc;

#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Servings by number, ascending.
    pub(super) open: Vec<usize>,
    /// The stretch of sums, as far as it is limited.
    pub(super) least: Option<i128>,
    pub(super) most: Option<i128>,
    pub(super) priced: Option<Rc<Priced>>,
    /// How many servings are held by the nodes that wait for this one.
    pub(super) held: usize,
}

impl Node {
    /// All servings.
    pub(super) fn whole(field: &Field) -> Result<Self, Beyond> {
        let priced = prices::at_start(field)?.map(Rc::new);
        let open = (0..field.servings.len()).collect();
        Ok(Self { open, least: field.total, most: field.total, priced, held: 0 })
    }

    /// The open servings of every slot that has some.
    pub(super) fn by_slot<'n>(&'n self, field: &'n Field) -> impl Iterator<Item = &'n [usize]> {
        self.open.chunk_by(|&one, &other| field.servings[one].slot == field.servings[other].slot)
    }

    /// The node as it opens; `None` if it does not.
    pub(super) fn opened(mut self, field: &Field) -> Result<Option<Self>, Beyond> {
        if !self.serves_all(field) {
            return Ok(None);
        }
        for beside in &field.beside {
            let slot_of = |serving: usize| field.servings[serving].slot;
            if !beside.sieve(slot_of, field.pile.slots, &mut self.open)? || !self.serves_all(field) {
                return Ok(None);
            }
        }
        self.keep_stretch(field);
        if !self.serves_all(field) {
            return Ok(None);
        }
        if let Some(priced) = self.priced.clone()
            && !prices::sieve(field, &mut self, &priced)?
        {
            return Ok(None);
        }
        Ok(self.serves_all(field).then_some(self))
    }

    /// Whether every slot has a serving left and, where all are used, every item.
    fn serves_all(&self, field: &Field) -> bool {
        if self.by_slot(field).count() != field.pile.slots {
            return false;
        }
        if !field.all_used {
            return true;
        }
        let mut lacking = vec![true; field.pile.items];
        for &item in self.open.iter().flat_map(|&serving| &field.servings[serving].items) {
            lacking[item] = false;
        }
        !lacking.contains(&true)
    }

    /// The least and the greatest value of every slot.
    fn ends(&self, field: &Field) -> Vec<[i128; 2]> {
        let ends = |own: &[usize]| {
            let values = || own.iter().map(|&serving| i128::from(field.servings[serving].value));
            [values().min().unwrap_or(0), values().max().unwrap_or(0)]
        };
        self.by_slot(field).map(ends).collect()
    }

    /// The sums that are still open: of the smallest and of the greatest values, within the stretch.
    pub(super) fn reach(&self, field: &Field) -> [i128; 2] {
        let [low, high] = self.ends(field).iter().fold([0, 0], |[low, high], end| [low + end[0], high + end[1]]);
        [self.least.map_or(low, |least| least.max(low)), self.most.map_or(high, |most| most.min(high))]
    }

    fn keep_stretch(&mut self, field: &Field) {
        if self.least.is_none() && self.most.is_none() {
            return;
        }
        let ends = self.ends(field);
        let [low, high] = ends.iter().fold([0, 0], |[low, high], end| [low + end[0], high + end[1]]);
        let (least, most) = (self.least, self.most);
        self.open.retain(|&serving| {
            let (value, own) = (i128::from(field.servings[serving].value), ends[field.servings[serving].slot]);
            most.is_none_or(|most| low - own[0] + value <= most)
                && least.is_none_or(|least| high - own[1] + value >= least)
        });
    }

    pub(super) fn retain(&self, keep: impl Fn(usize) -> bool) -> Self {
        let open = self.open.iter().copied().filter(|&serving| keep(serving)).collect();
        Self { open, priced: self.priced.clone(), ..*self }
    }
}
