//! Windows with many triples: items of the first kind are placed one by one, those of the second are matched.
//!
//! Once the first kind is placed, whether the second kind fits is a bipartite matching (Hopcroft & Karp 1973; here by
//! single augmenting paths, Kuhn 1955, which is as good for a few slots). So only one kind is branched on, and at every node
//! both kinds have to match: the second with the exact partners of placed slots and all partners of open ones. What a
//! slot and an item of the first kind leave to the second is one word of bits.

use super::ground::{Ground, Triple};
use super::meter::Meter;
use super::pairing::{MOST, NOBODY, augment, paired};
use pairwright_proof::Item;

/// Nodes after which a window is a hard one.
const HARD: u32 = 32;
/// Triples that are laid out in the time that a node takes.
const LAID: u64 = 32;

/// Whether this way of searching can take the problem at all.
pub(crate) fn suits(ground: &Ground<'_>) -> bool {
    let is_free = ground.statement.beside.is_none() && ground.limits.is_empty();
    is_free && ground.firsts <= MOST && ground.seconds <= MOST && ground.slots <= MOST
}

/// A window: for every slot and item of the first kind the items of the second that complete a triple of it.
#[derive(Debug)]
pub(crate) struct Thick<'g> {
    ground: &'g Ground<'g>,
    /// The kinds are exchanged, so that the one with fewer items is branched on, or the one with an item to use.
    exchanged: bool,
    branched: usize,
    matched: usize,
    partners: Vec<u64>,
    /// For every slot the items it may be branched on with.
    leads_of: Vec<u64>,
    placed: Vec<Option<u8>>,
    /// Of the window that is searched.
    nodes: u32,
    /// Items of the two kinds are known not to pair often enough.
    is_unpaired: bool,
}

impl<'g> Thick<'g> {
    pub(crate) fn new(ground: &'g Ground<'g>) -> Self {
        let exchanged = ground.brought_in.is_none() && ground.seconds < ground.firsts;
        let (branched, matched) =
            if exchanged { (ground.seconds, ground.firsts) } else { (ground.firsts, ground.seconds) };
        let partners = vec![0; ground.slots * branched];
        Self {
            ground,
            exchanged,
            branched,
            matched,
            partners,
            leads_of: vec![0; ground.slots],
            placed: vec![None; ground.slots],
            nodes: 0,
            is_unpaired: false,
        }
    }

    /// A choice of these triples only, as items of the first and of the second kind by slot; `None` if there is none, or
    /// the meter ran out.
    pub(crate) fn find<'t>(
        &mut self,
        triples: impl Iterator<Item = &'t Triple>,
        meter: &mut Meter<'_>,
    ) -> Option<(Vec<u16>, Vec<u16>)> {
        self.partners.fill(0);
        self.leads_of.fill(0);
        (self.nodes, self.is_unpaired) = (0, false);
        let mut laid = 0;
        for triple in triples {
            laid += 1;
            let (lead, partner) =
                if self.exchanged { (triple.second, triple.first) } else { (triple.first, triple.second) };
            let slot = usize::from(triple.slot);
            self.partners[slot * self.branched + usize::from(lead)] |= 1 << partner;
            self.leads_of[slot] |= 1 << lead;
        }
        meter.charge(laid / LAID);
        let free = if self.branched == MOST { u64::MAX } else { (1 << self.branched) - 1 };
        let mut masks = vec![0; self.ground.slots];
        let mut partner_of = vec![NOBODY; self.matched];
        let room = (&mut masks[..], &mut partner_of[..]);
        let found = match self.ground.brought_in {
            Some(item) => self.bring_in(item, free, room, meter),
            None => self.place(free, room.0, room.1, meter),
        };
        if !found {
            return None;
        }
        let leads = self.placed.iter().map(|item| item.map_or(0, u16::from)).collect();
        let mut partners = vec![0; self.ground.slots];
        for (item, &slot) in (0_u16..).zip(&partner_of) {
            if slot != NOBODY {
                partners[usize::from(slot)] = item;
            }
        }
        self.placed.fill(None);
        Some(if self.exchanged { (partners, leads) } else { (leads, partners) })
    }

    /// Tries the slots that an item can be used in, one after the other.
    fn bring_in(
        &mut self,
        item: Item,
        free: u64,
        (masks, partner_of): (&mut [u64], &mut [u8]),
        meter: &mut Meter<'_>,
    ) -> bool {
        let lead = item.index();
        for slot in 0..self.ground.slots {
            if self.leads_of[slot] >> lead & 1 == 1 {
                self.placed[slot] = u8::try_from(lead).ok();
                if self.place(free & !(1 << lead), masks, partner_of, meter) {
                    return true;
                }
                self.placed[slot] = None;
            }
        }
        false
    }

    fn place(&mut self, free: u64, masks: &mut [u64], partner_of: &mut [u8], meter: &mut Meter<'_>) -> bool {
        if !meter.spend() || self.is_hopeless() {
            return false;
        }
        let mut scarcest = (u32::MAX, 0);
        let mut leads = [0; MOST];
        for slot in 0..self.ground.slots {
            if let Some(lead) = self.placed[slot] {
                masks[slot] = self.partners[slot * self.branched + usize::from(lead)];
                continue;
            }
            let left = self.leads_of[slot] & free;
            masks[slot] = members(left).fold(0, |all, lead| all | self.partners[slot * self.branched + lead]);
            leads[slot] = left;
            scarcest = scarcest.min((left.count_ones(), slot));
        }
        partner_of.fill(NOBODY);
        if !matches(masks, partner_of) {
            return false;
        }
        if scarcest.0 == u32::MAX {
            return true;
        }
        let mut slot_of_lead = [NOBODY; MOST];
        let open = |slot: &usize| self.placed[*slot].is_none();
        if !(0..self.ground.slots).filter(open).all(|slot| augment(slot, &leads, &mut slot_of_lead, &mut 0)) {
            return false;
        }
        self.branch(scarcest.1, leads[scarcest.1], free, (masks, partner_of), meter)
    }

    fn branch(
        &mut self,
        slot: usize,
        leads: u64,
        free: u64,
        (masks, partner_of): (&mut [u64], &mut [u8]),
        meter: &mut Meter<'_>,
    ) -> bool {
        let alike = &self.ground.alike[usize::from(self.exchanged)];
        for lead in members(leads) {
            let number = u8::try_from(lead).unwrap_or(NOBODY);
            if alike.before(u16::from(number)).is_some_and(|before| free >> before & 1 == 1) {
                continue;
            }
            self.placed[slot] = Some(number);
            if self.place(free & !(1 << lead), masks, partner_of, meter) {
                return true;
            }
            self.placed[slot] = None;
        }
        false
    }

    /// Whether fewer items of the two kinds pair with each other than there are slots, whatever the slot: found out once, when
    /// the window has shown to be hard.
    fn is_hopeless(&mut self) -> bool {
        self.nodes += 1;
        if self.nodes == HARD {
            let of_lead = |lead| self.partners.iter().skip(lead).step_by(self.branched).fold(0, |all, own| all | own);
            self.is_unpaired = paired((0..self.branched).map(of_lead), self.ground.slots) < self.ground.slots;
        }
        self.is_unpaired
    }
}

fn members(mut set: u64) -> impl Iterator<Item = usize> {
    std::iter::from_fn(move || {
        let member = (set != 0).then(|| set.trailing_zeros() as usize);
        set &= set.wrapping_sub(1);
        member
    })
}

/// Whether every slot gets an item of its mask, no item twice.
fn matches(masks: &[u64], slot_of: &mut [u8]) -> bool {
    (0..masks.len()).all(|slot| augment(slot, masks, slot_of, &mut 0))
}
