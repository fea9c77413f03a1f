//! Depth-first search inside one window of triples.
//!
//! A window lists triples so that the better ones come first. Slots have to be served; where every item of a kind is used, so
//! have its items. Next is always whatever has the fewest triples left: none closes the branch at once. One bit a triple;
//! taking a triple takes out all that share its slot or one of its items. Of items that are alike only the first unused one
//! is tried.

use super::bar::{Bar, Key};
use super::bits::Bits;
use super::ground::{Ground, Triple};
use super::limits::Metered;
use super::meter::Meter;
use super::near::Cost;
use super::pairing::{MOST, Pairing};
use pairwright_proof::{Item, Outer};

/// Partial plans after which a search is long enough for what costs more at each.
const LONG: u64 = 1 << 14;

/// How the picks of a window make a key.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Rule {
    /// The aim is `top` minus the smallest value; no value is above `top`, and the first pick has it.
    Spread { top: i64 },
    /// The aim is the squares about the mean; `top` only keeps numbers small.
    AboutMean { top: i64 },
    /// The aim is the largest cost.
    Worst,
    /// The aim is `base` and the sum of what all values cost. The window's costs have the prices of items in them:
    /// `start` and the sum of those is never more than the aim.
    Sum { start: i128, base: i128, cost: Cost, settles_squares: bool },
}

/// What a search carries from window to window.
#[derive(Debug)]
pub(crate) struct Core<'p, 'b> {
    pub(crate) ground: &'p Ground<'p>,
    pub(crate) meter: Meter<'b>,
    pub(crate) bar: Bar,
    /// End as soon as any choice is found.
    pub(crate) any: bool,
    /// Slots, then items of the first kind, then of the second: which are taken.
    served: Vec<bool>,
    /// Which of them have to be.
    must: Vec<usize>,
}

/// One window: triples, their costs where the rule asks for them, and what was picked before.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Window<'w> {
    pub(crate) outer: Outer,
    pub(crate) rule: Rule,
    pub(crate) triples: &'w [Triple],
    pub(crate) costs: &'w [i128],
    pub(crate) root: Option<Triple>,
}

impl<'p, 'b> Core<'p, 'b> {
    pub(crate) fn new(ground: &'p Ground<'p>, meter: Meter<'b>, bar: Bar) -> Self {
        let (slots, firsts, seconds) = (ground.slots, ground.firsts, ground.seconds);
        let mut must: Vec<usize> = (0..slots).collect();
        if firsts == slots {
            must.extend(slots..slots + firsts);
        }
        if let Some(item) = ground.brought_in.filter(|_| firsts != slots) {
            must.push(slots + item.index());
        }
        if seconds == slots {
            must.extend(slots + firsts..slots + firsts + seconds);
        }
        Self { ground, meter, bar, any: false, served: vec![false; slots + firsts + seconds], must }
    }

    /// Whether the search has to end, or has nothing left to find.
    pub(crate) fn is_over(&self) -> bool {
        self.meter.stopped().is_some() || self.bar.is_final() || (self.any && self.bar.best().is_some())
    }

    /// Looks for every choice made of the window's triples that the bar lets through.
    pub(crate) fn search(&mut self, window: Window<'_>) {
        match window.triples.len() {
            0..=64 => Descent::<[u64; 1]>::run(self, window),
            65..=128 => Descent::<[u64; 2]>::run(self, window),
            129..=256 => Descent::<[u64; 4]>::run(self, window),
            257..=512 => Descent::<[u64; 8]>::run(self, window),
            _ => Descent::<Vec<u64>>::run(self, window),
        }
    }

    /// Offers a choice made of items by slot; only for spreads.
    pub(crate) fn take(&mut self, outer: Outer, first: &[u16], second: &[u16]) {
        let values = |picks: &[Triple]| {
            let values = || picks.iter().map(|pick| i128::from(pick.value));
            values().max().unwrap_or(0) - values().min().unwrap_or(0)
        };
        if let Some(picks) = self.picks(outer, first, second) {
            self.bar.offer((values(&picks), 0), outer, &picks, &self.ground.alike);
        }
    }

    /// Offers a choice made of items by slot that the aim is known of.
    pub(crate) fn take_worth(&mut self, aim: i128, outer: Outer, first: &[u16], second: &[u16]) {
        if let Some(picks) = self.picks(outer, first, second) {
            self.bar.offer((aim, 0), outer, &picks, &self.ground.alike);
        }
    }

    fn picks(&self, outer: Outer, first: &[u16], second: &[u16]) -> Option<Vec<Triple>> {
        let pick = |slot: usize| {
            let (first, second) = (*first.get(slot)?, *second.get(slot)?);
            let value = self.ground.value(outer, slot, u32::from(first), u32::from(second))?;
            Some(Triple { value, slot: u16::try_from(slot).ok()?, first, second })
        };
        (0..self.ground.slots).map(pick).collect()
    }

    fn columns_of(&self, triple: Triple) -> [usize; 3] {
        let (slots, firsts) = (self.ground.slots, self.ground.firsts);
        [usize::from(triple.slot), slots + usize::from(triple.first), slots + firsts + usize::from(triple.second)]
    }

    /// Whether an item that is alike and comes before is still free, unless the branch is about that very kind.
    fn is_repeat(&self, triple: Triple, column: usize) -> bool {
        let (slots, firsts) = (self.ground.slots, self.ground.firsts);
        let is_first = (slots..slots + firsts).contains(&column);
        let is_second = column >= slots + firsts;
        let free =
            |before: Option<u16>, start: usize| before.is_some_and(|item| !self.served[start + usize::from(item)]);
        (!is_first && free(self.ground.alike[0].before(triple.first), slots))
            || (!is_second && free(self.ground.alike[1].before(triple.second), slots + firsts))
    }
}

/// The picks so far, in numbers.
#[derive(Clone, Copy, Debug)]
struct Partial {
    count: i128,
    /// Of the values less the window's reference.
    sum: i128,
    squares: i128,
    low: i64,
    /// Largest cost, or sum of costs.
    cost: i128,
}

struct Descent<'c, 'p, 'b, 'w, B> {
    core: &'c mut Core<'p, 'b>,
    window: Window<'w>,
    columns: Vec<B>,
    picks: Vec<Triple>,
    limits: Vec<Metered>,
    reference: i64,
}

impl<'c, 'p, 'b, 'w, B: Bits> Descent<'c, 'p, 'b, 'w, B> {
    fn run(core: &'c mut Core<'p, 'b>, window: Window<'w>) {
        let size = window.triples.len();
        let mut columns = vec![B::none(size); core.served.len()];
        let mut open = B::none(size);
        for (at, &triple) in window.triples.iter().enumerate() {
            open.insert(at);
            for column in core.columns_of(triple) {
                columns[column].insert(at);
            }
        }
        let reference = match window.rule {
            Rule::Spread { top } | Rule::AboutMean { top } => top,
            Rule::Worst | Rule::Sum { .. } => window.triples.first().map_or(0, |triple| triple.value),
        };
        let picks = Vec::with_capacity(core.ground.slots);
        let limits = Metered::all(core.ground, &window);
        let mut descent = Self { core, window, columns, picks, limits, reference };
        let nothing = Partial { count: 0, sum: 0, squares: 0, low: i64::MAX, cost: 0 };
        match window.root {
            None => descent.descend(&open, nothing),
            Some(root) => descent.take(root, None, &open, nothing),
        }
    }

    /// Takes a triple, the window's with that number or the root, and goes on from there.
    fn take(&mut self, triple: Triple, at: Option<usize>, open: &B, partial: Partial) {
        let cost = at.and_then(|at| self.window.costs.get(at)).copied().unwrap_or(0);
        let columns = self.core.columns_of(triple);
        let mut rest = open.clone();
        for column in columns {
            rest.minus(&self.columns[column]);
            self.core.served[column] = true;
        }
        if self.core.ground.statement.beside.is_some() {
            self.drive_out(triple, &mut rest);
        }
        self.picks.push(triple);
        self.limits.iter_mut().for_each(|limit| limit.take(at));
        self.descend(&rest, self.with(partial, triple, cost));
        self.limits.iter_mut().for_each(|limit| limit.give_back(at));
        self.picks.pop();
        for column in columns {
            self.core.served[column] = false;
        }
    }

    /// Takes out of `rest` what cannot stand beside a triple.
    fn drive_out(&self, triple: Triple, rest: &mut B) {
        let mut left = rest.clone();
        let mut out = B::none(self.window.triples.len());
        while let Some(at) = left.pop() {
            let other = self.window.triples[at];
            if !self.core.ground.statement.may_stand(self.window.outer, triple.filled(), other.filled()) {
                out.insert(at);
            }
        }
        rest.minus(&out);
    }

    fn with(&self, partial: Partial, triple: Triple, cost: i128) -> Partial {
        let away = i128::from(triple.value - self.reference);
        Partial {
            count: partial.count + 1,
            sum: partial.sum + away,
            squares: partial.squares + away * away,
            low: partial.low.min(triple.value),
            cost: match self.window.rule {
                Rule::Sum { .. } => partial.cost + cost,
                _ => partial.cost.max(cost),
            },
        }
    }

    fn descend(&mut self, open: &B, partial: Partial) {
        if !self.core.meter.spend() {
            return;
        }
        if self.limits.iter().any(|limit| limit.is_exceeded(self.core.ground.slots, open, self.window.triples)) {
            return;
        }
        if self.picks.len() == self.core.ground.slots {
            let missing = |item: Item| !self.core.served[self.core.ground.slots + item.index()];
            if self.core.ground.brought_in.is_some_and(missing) {
                return;
            }
            let key = self.key(partial, self.whole_cost(partial));
            let core = &mut *self.core;
            core.bar.offer(key, self.window.outer, &self.picks, &core.ground.alike);
            return;
        }
        if self.is_closed(open, partial) || self.falls_short(open, partial) {
            return;
        }
        let Some(column) = self.scarcest(open) else {
            return;
        };
        let mut candidates = open.clone();
        candidates.meet(&self.columns[column]);
        while let Some(at) = candidates.pop() {
            let triple = self.window.triples[at];
            let cost = self.window.costs.get(at).copied().unwrap_or(0);
            if self.is_beyond(triple, cost) || self.core.is_over() {
                break;
            }
            if !self.core.is_repeat(triple, column) {
                self.take(triple, Some(at), open, partial);
            }
        }
    }

    /// What has to be served next; `None` if something can no longer be.
    fn scarcest(&self, open: &B) -> Option<usize> {
        let mut best = (u32::MAX, 0);
        for &column in &self.core.must {
            if self.core.served[column] {
                continue;
            }
            let left = open.common(&self.columns[column]);
            if left < best.0 {
                best = (left, column);
                if left <= 1 {
                    break;
                }
            }
        }
        (best.0 > 0).then_some(best.1)
    }

    /// Whether this triple and all after it are out of reach since the bar was lowered.
    fn is_beyond(&self, triple: Triple, cost: i128) -> bool {
        match self.window.rule {
            Rule::Spread { top } => i128::from(top - triple.value) > self.core.bar.key.0,
            Rule::Worst => cost > self.core.bar.key.0,
            Rule::AboutMean { .. } | Rule::Sum { .. } => false,
        }
    }

    fn is_closed(&self, open: &B, partial: Partial) -> bool {
        let mut cost = partial.cost;
        if let Rule::Sum { .. } = self.window.rule {
            for slot in (0..self.core.ground.slots).filter(|&slot| !self.core.served[slot]) {
                let Some(at) = open.first_common(&self.columns[slot]) else {
                    return true;
                };
                cost += self.window.costs[at];
            }
        }
        let bar = &self.core.bar;
        bar.is_above(self.key(partial, cost))
    }

    /// Whether the triples that are not too dear cannot be paired often enough; asked near the root, where it closes most,
    /// and once a search has shown to be long.
    fn falls_short(&self, open: &B, partial: Partial) -> bool {
        let ground = self.core.ground;
        let is_idle = self.picks.len() * 2 > ground.slots || self.core.meter.spent() < LONG;
        if is_idle || [ground.slots, ground.firsts, ground.seconds].iter().any(|&of| of > MOST) {
            return false;
        }
        let mut least = [0; MOST];
        let mut spare = i128::MAX;
        if let Rule::Sum { start, .. } = self.window.rule {
            spare = self.core.bar.key.0 - start - partial.cost;
            for slot in (0..ground.slots).filter(|&slot| !self.core.served[slot]) {
                let Some(at) = open.first_common(&self.columns[slot]) else { return true };
                least[slot] = self.window.costs[at];
                spare -= least[slot];
            }
        }
        let mut pairing = Pairing::new();
        let mut left = open.clone();
        while let Some(at) = left.pop() {
            let triple = self.window.triples[at];
            let cost = self.window.costs.get(at).copied().unwrap_or(0);
            if spare == i128::MAX || cost - least[usize::from(triple.slot)] <= spare {
                pairing.open(triple);
            }
        }
        pairing.falls_short(ground.slots - self.picks.len())
    }

    /// What complete picks cost, in the window's terms, but without prices given for nothing.
    fn whole_cost(&self, partial: Partial) -> i128 {
        match self.window.rule {
            Rule::Sum { start, base, cost, .. } => {
                base - start + self.picks.iter().map(|pick| cost.of(pick.value)).sum::<i128>()
            }
            _ => partial.cost,
        }
    }

    /// The key of complete picks; of partial ones a key that none of their completions can be below.
    fn key(&self, partial: Partial, cost: i128) -> Key {
        match self.window.rule {
            Rule::Spread { top } => self.then_squares(i128::from(top - partial.low.min(top)), partial),
            Rule::AboutMean { .. } => (self.squares(partial), 0),
            Rule::Worst => self.then_squares(cost, partial),
            Rule::Sum { start, settles_squares: true, .. } => (start + cost, 0),
            Rule::Sum { start, settles_squares: false, .. } => self.then_squares(start + cost, partial),
        }
    }

    /// The squares only where they can matter.
    fn then_squares(&self, aim: i128, partial: Partial) -> Key {
        (aim, if self.core.bar.asks_squares(aim) { self.squares(partial) } else { 0 })
    }

    /// n·Σ v² − (Σ v)² of n values, of which m are picked, is least when the others lie at the mean of those:
    /// (n / m)·(m·Σ v² − (Σ v)²) over the picked ones.
    fn squares(&self, partial: Partial) -> i128 {
        if partial.count == 0 {
            return 0;
        }
        let slots = self.core.ground.slots as i128;
        let own = partial.count * partial.squares - partial.sum * partial.sum;
        let scaled = slots * own;
        scaled / partial.count + i128::from(scaled % partial.count != 0)
    }
}
