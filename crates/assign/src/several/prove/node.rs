//! What is open at a node, followed as the checker follows it.

use super::prices::{self, Priced};
use crate::several::beside::Limits;
use crate::several::field::{Bundle, Chosen};
use crate::several::problem::SeveralProblem;
use pairwright_proof::{Item, Measure, Sense, Slot, Table, Worth};
use std::rc::Rc;

/// A slot with a bundle.
#[derive(Clone, Copy, Debug)]
pub(super) struct Serving {
    pub(super) slot: usize,
    /// One bit each.
    pub(super) items: u128,
    pub(super) value: i128,
    bundle: Bundle,
}

/// What the arrangements to be refuted keep.
#[derive(Clone, Copy, Debug)]
pub(super) enum Rule {
    Free,
    /// Σ v, times a sign.
    Total {
        sign: i128,
        most: i128,
    },
    /// n·Σ (v − target)².
    Squares {
        target: i128,
        most: i128,
    },
    /// n·Σ v² − (Σ v)².
    Mean {
        most: i128,
    },
    Spread {
        width: i128,
    },
}

impl Rule {
    /// No score is larger: there are at most 128 items and so many slots served, and values and targets are within
    /// [`Table::LIMIT`]. Products with up to 2²⁰ slots and prices stay inside an `i128`.
    pub(super) const LARGEST: u128 = 1 << 100;
}

/// The servings by slot, then lexicographically by bundle.
#[derive(Debug)]
pub(super) struct Ground {
    pub(super) slots: usize,
    pub(super) items: usize,
    pub(super) each: usize,
    pub(super) servings: Vec<Serving>,
    pub(super) rule: Rule,
    pub(super) all_used: bool,
    /// The sum of all values, if it is known.
    pub(super) total: Option<i128>,
    /// Prices that are the best there are without a tree.
    pub(super) prices: Option<Vec<i128>>,
    limits: Limits,
}

impl Ground {
    pub(super) fn of(problem: &SeveralProblem<'_>) -> Self {
        let pile = problem.pile;
        let mut servings = Vec::new();
        for (slot, bundles) in problem.field.slots.iter().enumerate() {
            let mut bundles = bundles.clone();
            bundles.sort_unstable_by_key(|bundle| bundle.at);
            let serving =
                |bundle: &Bundle| Serving { slot, items: bundle.items, value: bundle.value.into(), bundle: *bundle };
            servings.extend(bundles.iter().map(serving));
        }
        let all_used = pile.slots.checked_mul(pile.each) == Some(pile.items);
        let total = match problem.worth {
            Worth::Sum { base, table } if all_used => total(base, table, pile.each),
            _ => None,
        };
        let (slots, items, each) = (pile.slots, pile.items, pile.each);
        let prices = prices::of_table(problem);
        let limits = problem.field.limits.clone();
        Self { slots, items, each, servings, rule: Rule::Free, all_used, total, prices, limits }
    }

    /// Leaves what scores at most this, less being better.
    pub(super) fn limit(&mut self, measure: Measure, sense: Sense, most: i128) {
        let sign = if sense == Sense::Least { 1 } else { -1 };
        match measure {
            Measure::Total => self.rule = Rule::Total { sign, most },
            Measure::SquaresFrom { target } => {
                self.rule = Rule::Squares { target: target.into(), most: most * self.slots as i128 };
            }
            Measure::SquaresAboutMean => self.rule = Rule::Mean { most },
            Measure::Spread => self.rule = Rule::Spread { width: most },
            Measure::Greatest | Measure::Least => self.servings.retain(|serving| sign * serving.value <= most),
            Measure::WorstFrom { target } => {
                self.servings.retain(|serving| (serving.value - i128::from(target)).abs() <= most);
            }
        }
    }

    pub(super) fn serving(&self, number: u32) -> &Serving {
        &self.servings[number as usize]
    }

    /// The bundles of servings, one a slot.
    pub(super) fn chosen(&self, servings: &[u32]) -> Chosen {
        servings.iter().map(|&at| self.serving(at).bundle).collect()
    }
}

/// What all arrangements that use every item add up to, if every pair is allowed and rows differ by one number.
fn total(base: &[i64], table: &Table, each: usize) -> Option<i128> {
    let first = table.row(Slot::new(0));
    let mut total: i128 = first.iter().chain(base).map(|&value| i128::from(value)).sum();
    for slot in table.slots() {
        let mut lifts = table.items().map(|item: Item| Some(table.get(slot, item)? - table.get(Slot::new(0), item)?));
        let lift = lifts.next()??;
        if lifts.any(|other| other != Some(lift)) {
            return None;
        }
        total += i128::from(lift) * each as i128;
    }
    Some(total)
}

#[derive(Clone, Debug)]
pub(super) struct Node {
    /// Servings by number, ascending.
    pub(super) open: Vec<u32>,
    pub(super) least: Option<i128>,
    pub(super) most: Option<i128>,
    pub(super) priced: Option<Rc<Priced>>,
    pub(super) plan: Plan,
}

/// What was done, or is to be done, before branching.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Plan {
    /// Prices are to be given next.
    pub(super) next: Option<Next>,
    /// Prices were sought for what is open here.
    pub(super) sought: bool,
    /// The greatest values were told apart.
    pub(super) topped: bool,
    /// Every slot had one serving left.
    pub(super) single: bool,
    /// How many servings are held by the nodes that wait for this one.
    pub(super) held: usize,
}

/// Prices about a sum.
#[derive(Clone, Copy, Debug)]
pub(super) enum Next {
    /// Prices of 0 settle the node.
    Plain(i128),
    /// Better ones have to be sought.
    Raised(i128),
}

/// What a step keeps of its node: it becomes a node when it is its turn, so that few nodes are held.
#[derive(Debug)]
pub(super) enum Way {
    All,
    Priced(Rc<Priced>),
    /// The slot of this serving takes it.
    Serving(u32),
    /// The slot takes the item.
    Seat {
        item: usize,
        slot: usize,
    },
    /// Values within both ends.
    Values {
        from: i128,
        until: i128,
    },
    /// Sums within both ends, and the prices to be given.
    Sums {
        least: Option<i128>,
        most: Option<i128>,
        next: Next,
    },
}

impl Way {
    /// How often it looks at the node's servings, about: for what is kept, for values, for prices, and to seek these.
    pub(super) fn looks(&self) -> usize {
        if matches!(self, Self::Sums { next: Next::Raised(_), .. }) { prices::STEPS } else { 8 }
    }

    pub(super) fn of(self, ground: &Ground, node: &Node) -> Node {
        match self {
            Self::All => node.clone(),
            Self::Priced(priced) => Node { priced: Some(priced), ..node.clone() },
            Self::Serving(taken) => {
                let Serving { slot, items, .. } = *ground.serving(taken);
                node.retain(|at| {
                    at == taken || (ground.serving(at).slot != slot && ground.serving(at).items & items == 0)
                })
            }
            Self::Seat { item, slot } => {
                node.retain(|at| (ground.serving(at).slot == slot) == (ground.serving(at).items >> item & 1 == 1))
            }
            Self::Values { from, until } => node.retain(|at| (from..=until).contains(&ground.serving(at).value)),
            Self::Sums { least, most, next } => {
                Node { least, most, plan: Plan { next: Some(next), ..node.plan }, ..node.clone() }
            }
        }
    }
}

impl Node {
    pub(super) fn whole(ground: &Ground) -> Self {
        let open: Vec<u32> = (0..).take(ground.servings.len()).collect();
        let about = match (ground.rule, ground.total) {
            (Rule::Total { .. }, _) => Some(0),
            (Rule::Squares { .. } | Rule::Mean { .. }, Some(total)) => Some(total),
            (Rule::Squares { target, .. }, None) => Some(ground.slots as i128 * target),
            _ => None,
        };
        let priced = about.map(|about| Rc::new(Priced::new(ground, &open, 1, about, Vec::new())));
        Self { open, least: ground.total, most: ground.total, priced, plan: Plan::default() }
    }

    pub(super) fn by_slot<'n>(&'n self, ground: &'n Ground) -> impl Iterator<Item = &'n [u32]> {
        self.open.chunk_by(|&one, &other| ground.serving(one).slot == ground.serving(other).slot)
    }

    /// The node as it opens; `None` if it does not.
    pub(super) fn opened(mut self, ground: &Ground) -> Option<Self> {
        if !self.serves_all(ground) {
            return None;
        }
        for limit in 0..ground.limits.len() {
            let serving = |at: u32| (ground.serving(at).slot, ground.serving(at).bundle.at);
            if !ground.limits.sieve((limit, ground.slots), serving, &mut self.open) || !self.serves_all(ground) {
                return None;
            }
        }
        if self.least.is_some() || self.most.is_some() {
            self.keep_stretch(ground);
            if !self.serves_all(ground) {
                return None;
            }
        }
        if let Some(priced) = self.priced.clone() {
            let most = priced.most(ground, self.reach(ground))?;
            let (bound, least) = priced.bound(ground, &self.open);
            if bound > most {
                return None;
            }
            let spare = most.saturating_sub(bound);
            self.open.retain(|&at| priced.own[at as usize] - least[ground.serving(at).slot] <= spare);
        }
        self.serves_all(ground).then_some(self)
    }

    fn serves_all(&self, ground: &Ground) -> bool {
        let met = self.open.iter().fold(0, |met, &at| met | ground.serving(at).items);
        self.by_slot(ground).count() == ground.slots && (!ground.all_used || met.count_ones() as usize == ground.items)
    }

    fn ends(&self, ground: &Ground) -> Vec<[i128; 2]> {
        let ends = |own: &[u32]| {
            own.iter().fold([i128::MAX, i128::MIN], |[low, high], &at| {
                let value = ground.serving(at).value;
                [low.min(value), high.max(value)]
            })
        };
        self.by_slot(ground).map(ends).collect()
    }

    /// The sums that are still open.
    pub(super) fn reach(&self, ground: &Ground) -> [i128; 2] {
        let [low, high] = sum(&self.ends(ground));
        [self.least.map_or(low, |least| least.max(low)), self.most.map_or(high, |most| most.min(high))]
    }

    /// Drops servings with which the sum misses the stretch.
    fn keep_stretch(&mut self, ground: &Ground) {
        let ends = self.ends(ground);
        let [low, high] = sum(&ends);
        let (least, most) = (self.least.unwrap_or(i128::MIN), self.most.unwrap_or(i128::MAX));
        self.open.retain(|&at| {
            let Serving { slot, value, .. } = *ground.serving(at);
            low - ends[slot][0] + value <= most && high - ends[slot][1] + value >= least
        });
    }

    pub(super) fn retain(&self, keep: impl Fn(u32) -> bool) -> Self {
        let open = self.open.iter().copied().filter(|&at| keep(at)).collect();
        Self { open, priced: self.priced.clone(), ..*self }
    }
}

fn sum(ends: &[[i128; 2]]) -> [i128; 2] {
    ends.iter().fold([0, 0], |[low, high], end| [low + end[0], high + end[1]])
}
