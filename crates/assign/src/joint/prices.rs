//! Prices of items: a bound for sums of costs, and a choice that comes near to it.
//!
//! A price for every item of a kind stands for the rule that none is used twice. With prices of at least 0 no choice costs
//! less than the least Σ (cost + prices of both items), each slot by itself, less all prices; an item that is not
//! used had its price given for nothing. With the prices of one kind held, those of the other are best where they are
//! the prices of the assignment that is left, so the two kinds take turns until the bound stops rising; then steps along
//! what is asked for too often or not at all raise it further. Where costs are sums of what either kind adds, the first turn
//! already gives the least total.
//!
//! # References
//! - W. P. Pierskalla, *The multidimensional assignment problem*, Oper. Res. 16 (1968): the problem (from memory).
//! - M. Held and R. M. Karp, *The traveling-salesman problem and minimum spanning trees: part II*, Math. Programming 1
//!   (1971): steps along what the relaxed answer breaks (from memory).

use super::ground::{Ground, Triple};
use super::problem::{JointError, JointProblem};
use crate::dense::Block;
use crate::watch::Watch;
use crate::weight::Weight;
use pairwright_proof::Outer;

/// Turns of the two kinds, at most.
const TURNS: usize = 12;
/// Steps after which prices are left as they are, and turns tried again.
const STEPS: usize = 24;

/// Prices, and what follows from them.
#[derive(Clone, Debug)]
pub(super) struct Prices {
    of_first: Vec<i128>,
    of_second: Vec<i128>,
    /// All prices together.
    all: i128,
    /// No choice costs less.
    pub(super) floor: i128,
    /// A choice, items of the first and of the second kind by slot, and its costs.
    pub(super) choice: Option<(i128, [Vec<u32>; 2])>,
}

/// One kind against the slots, what the other adds left to prices.
struct Side {
    items: Vec<usize>,
    prices: Vec<i128>,
    least: i128,
}

struct Costed<'t> {
    slots: usize,
    kinds: [usize; 2],
    triples: &'t [Triple],
    costs: Vec<i128>,
}

impl Prices {
    /// The prices of an outer choice's triples; `None` if one kind, whatever the other does, cannot serve all slots.
    pub(super) fn of(ground: &Ground<'_>, triples: &[Triple], costs: &[i128]) -> Option<Self> {
        let must = ground.brought_in.and_then(|item| u16::try_from(item.number()).ok());
        let most = costs.iter().copied().map(i128::abs).max().unwrap_or(0);
        // An item that has to be used is made cheaper than anything that leaves it out.
        let bonus = must.map_or(0, |_| (2 * ground.slots as i128 + 1).saturating_mul(most.saturating_add(1)));
        let bonus_of = |triple: &Triple| if Some(triple.first) == must { bonus } else { 0 };
        let costed = Costed {
            slots: ground.slots,
            kinds: [ground.firsts, ground.seconds],
            triples,
            costs: triples.iter().zip(costs).map(|(triple, cost)| cost - bonus_of(triple)).collect(),
        };
        let mut prices = costed.priced()?;
        prices.floor += bonus;
        prices.all -= bonus;
        if let Some(must) = must {
            prices.of_first[usize::from(must)] -= bonus;
        }
        prices.choice = prices.choice.map(|(cost, items)| (cost + bonus, items));
        let uses = |items: &[Vec<u32>; 2]| must.is_none_or(|must| items[0].contains(&u32::from(must)));
        prices.choice = prices.choice.filter(|(_, items)| uses(items));
        Some(prices)
    }

    /// What a triple costs with the prices of its items.
    pub(super) fn with(&self, triple: Triple, cost: i128) -> i128 {
        cost + self.of_first[usize::from(triple.first)] + self.of_second[usize::from(triple.second)]
    }

    /// What such costs of a choice are above what it costs, at most.
    pub(super) fn all(&self) -> i128 {
        self.all
    }
}

impl Costed<'_> {
    fn priced(&self) -> Option<Prices> {
        let [firsts, seconds] = self.kinds;
        let mut prices = [vec![0; firsts], vec![0; seconds]];
        let mut best: Option<(i128, [Vec<i128>; 2])> = None;
        let mut choice: Option<(i128, [Vec<u32>; 2])> = None;
        let mut steps = 0;
        'rounds: loop {
            for _ in 0..TURNS {
                let before = best.as_ref().map(|&(floor, _)| floor);
                for kind in 0..2 {
                    let side = self.side(kind, &prices[1 - kind])?;
                    prices[kind] = side.prices;
                    let floor = side.least - prices[1 - kind].iter().sum::<i128>();
                    if best.as_ref().is_none_or(|&(known, _)| floor > known) {
                        best = Some((floor, prices.clone()));
                        choice = self.completed(kind, &side.items).into_iter().chain(choice).min();
                    }
                    if choice.as_ref().zip(best.as_ref()).is_some_and(|(found, best)| found.0 <= best.0) {
                        break 'rounds;
                    }
                }
                if best.as_ref().map(|&(floor, _)| floor) == before {
                    break;
                }
            }
            let Some((goal, (floor, known))) = choice.as_ref().map(|found| found.0).zip(best.as_ref()) else { break };
            if steps >= STEPS {
                break;
            }
            steps += 1;
            prices.clone_from(known);
            self.step(&mut prices, goal - floor, steps);
        }
        let (floor, [of_first, of_second]) = best?;
        let all = of_first.iter().sum::<i128>() + of_second.iter().sum::<i128>();
        Some(Prices { of_first, of_second, all, floor, choice })
    }

    /// The cheapest assignment of one kind, each slot and item with the best of the other at its price.
    fn side(&self, kind: usize, others: &[i128]) -> Option<Side> {
        let columns = self.kinds[kind];
        let mut cells = vec![<i128 as Weight>::ABSENT; self.slots * columns];
        for (triple, &cost) in self.triples.iter().zip(&self.costs) {
            let items = [usize::from(triple.first), usize::from(triple.second)];
            let cell = &mut cells[usize::from(triple.slot) * columns + items[kind]];
            *cell = (*cell).min(cost + others[items[1 - kind]]);
        }
        let block = Block { rows: self.slots, columns, cells };
        let priced = block.cheapest(&Watch::unlimited())?;
        let taken = priced.column_of.iter().enumerate();
        Some(Side {
            least: taken.map(|(slot, &column)| block.cells[slot * columns + column]).sum(),
            prices: priced.column_price.iter().map(|price| -price).collect(),
            items: priced.column_of,
        })
    }

    /// The cheapest choice with these items of one kind, then with those of the other held in turn, while that helps.
    fn completed(&self, mut kind: usize, items: &[usize]) -> Option<(i128, [Vec<u32>; 2])> {
        let mut held = items.to_vec();
        let mut best: Option<(i128, [Vec<u32>; 2])> = None;
        loop {
            let columns = self.kinds[1 - kind];
            let mut cells = vec![<i128 as Weight>::ABSENT; self.slots * columns];
            for (triple, &cost) in self.triples.iter().zip(&self.costs) {
                let items = [usize::from(triple.first), usize::from(triple.second)];
                let slot = usize::from(triple.slot);
                if held[slot] == items[kind] {
                    cells[slot * columns + items[1 - kind]] = cost;
                }
            }
            let block = Block { rows: self.slots, columns, cells };
            let Some(priced) = block.cheapest(&Watch::unlimited()) else { return best };
            let taken = priced.column_of.iter().enumerate();
            let cost = taken.map(|(slot, &column)| block.cells[slot * columns + column]).sum();
            if best.as_ref().is_some_and(|&(known, _)| cost >= known) {
                return best;
            }
            let numbers = |items: &[usize]| items.iter().filter_map(|&item| u32::try_from(item).ok()).collect();
            let both = if kind == 0 {
                [numbers(&held), numbers(&priced.column_of)]
            } else {
                [numbers(&priced.column_of), numbers(&held)]
            };
            best = Some((cost, both));
            (held, kind) = (priced.column_of, 1 - kind);
        }
    }

    /// Raises the prices of items that several slots would take by themselves, and lowers those of items that none would.
    fn step(&self, prices: &mut [Vec<i128>; 2], gap: i128, count: usize) {
        let mut taken: Vec<Option<(i128, [usize; 2])>> = vec![None; self.slots];
        for (triple, &cost) in self.triples.iter().zip(&self.costs) {
            let items = [usize::from(triple.first), usize::from(triple.second)];
            let cost = cost + prices[0][items[0]] + prices[1][items[1]];
            let own = &mut taken[usize::from(triple.slot)];
            if own.is_none_or(|(known, _)| cost < known) {
                *own = Some((cost, items));
            }
        }
        let mut used = [vec![0_i128; self.kinds[0]], vec![0_i128; self.kinds[1]]];
        for (_, items) in taken.into_iter().flatten() {
            used[0][items[0]] += 1;
            used[1][items[1]] += 1;
        }
        let off = |used: &i128, price: &i128| if *price > 0 || *used > 1 { used - 1 } else { 0 };
        let pairs = used.iter().zip(prices.iter()).flat_map(|(used, prices)| used.iter().zip(prices));
        let norm: i128 = pairs.map(|(used, price)| off(used, price).pow(2)).sum();
        let length = gap / (norm.max(1) * i128::try_from(1 + count / 8).unwrap_or(1));
        for (used, prices) in used.iter().zip(prices.iter_mut()) {
            for (used, price) in used.iter().zip(prices) {
                *price = (*price + off(used, price) * length.max(1)).max(0);
            }
        }
    }
}

/// Prices of items under one outer choice of a total: see [`joint_prices`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JointPrices {
    /// Of every item of the first and of the second kind, at least 0.
    pub items: [Vec<i128>; 2],
    /// No choice has a smaller total.
    pub floor: i128,
}

/// For every outer choice of a total, prices of the items of either kind that make a bound as high as is easily found:
/// no choice has a smaller total than the least Σ (value + prices), each slot by itself, less all prices. `None` where
/// nothing can be chosen.
///
/// # Errors
/// [`JointError::Magnitude`] if the scale gives a value too large to calculate with.
pub fn joint_prices(problem: &JointProblem<'_>) -> Result<Vec<Option<JointPrices>>, JointError> {
    let ground = Ground::new(problem);
    let of = |outer: Outer| -> Result<Option<JointPrices>, JointError> {
        let triples = ground.triples(outer)?;
        let costs: Vec<i128> = triples.iter().map(|triple| triple.value.into()).collect();
        let prices = Prices::of(&ground, &triples, &costs);
        Ok(prices.map(|prices| JointPrices { items: [prices.of_first, prices.of_second], floor: prices.floor }))
    };
    (0..).map(Outer::new).take(problem.statement().offsets.len()).map(of).collect()
}
