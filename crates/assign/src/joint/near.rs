//! Aims that cost every triple by itself: the worst, or the sum, of distances from somewhere.

use super::descend::{Core, Rule, Window};
use super::ground::{Ground, Triple};
use super::prices::Prices;
use super::problem::{JointAim, JointError};
use super::thick::{self, Thick};
use pairwright_proof::{JointStatement, Outer, Scale};

/// The triples of an outer choice by ascending cost.
#[derive(Debug)]
pub(crate) struct Near {
    outer: Outer,
    rule: Rule,
    triples: Vec<Triple>,
    costs: Vec<i128>,
    /// The least cost of every slot; `None` for a slot without a triple.
    least: Vec<Option<i128>>,
    /// A choice that was met on the way to the floor, items of the first and of the second kind by slot.
    pub(crate) met: Option<[Vec<u32>; 2]>,
    /// No choice of this outer choice has a smaller aim; `None` if some slot has no triple.
    pub(crate) floor: Option<i128>,
}

/// How values become costs: |factor · v − centre|, or its square.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Costs {
    cost: Cost,
    rule: CostRule,
}

/// What one value costs.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cost {
    factor: i128,
    centre: i128,
    is_squared: bool,
}

/// What costs make together.
#[derive(Clone, Copy, Debug)]
enum CostRule {
    Worst,
    Sum { base: i128, settles_squares: bool },
}

impl Cost {
    pub(crate) fn of(self, value: i64) -> i128 {
        let away = (self.factor * i128::from(value) - self.centre).abs();
        if self.is_squared { away * away } else { away }
    }
}

impl Costs {
    /// `None` for an aim that no costs of single triples express.
    ///
    /// Where all sums add up to the same T and values are sums, squares are taken about the mean T / n instead of the target t,
    /// times n²: Σ (n·v − n·t)² = Σ (n·v − T)² + n·(T − n·t)². That leaves the order of choices as it is and makes the
    /// least costs of the slots a far better bound.
    pub(crate) fn of(aim: JointAim, ground: &Ground<'_>, outer: Outer) -> Option<Self> {
        let slots = ground.slots as i128;
        let total = ground.total(outer).filter(|_| matches!(ground.statement.scale, Scale::Sum));
        let cost = |factor, centre, is_squared| Cost { factor, centre, is_squared };
        let sum = |base| CostRule::Sum { base, settles_squares: aim == JointAim::SquaresAboutMean };
        let (cost, rule) = match (aim, total) {
            (JointAim::Spread, _) | (JointAim::SquaresAboutMean, None) => return None,
            (JointAim::WorstFrom { target }, _) => (cost(1, i128::from(target), false), CostRule::Worst),
            // From the smallest value there can be, so that no cost is negative.
            (JointAim::Total, _) => (cost(1, -i128::from(JointStatement::LIMIT), false), sum(0)),
            (JointAim::SquaresAboutMean, Some(total)) => (cost(slots, total, true), sum(0)),
            (JointAim::SquaresFrom { target }, Some(total)) => {
                let away = total - slots * i128::from(target);
                (cost(slots, total, true), sum(slots * away * away))
            }
            (JointAim::SquaresFrom { target }, None) => (cost(1, i128::from(target), true), sum(0)),
        };
        Some(Self { cost, rule })
    }

    /// The aim's own value of what the search calls `found`, rounded up.
    pub(crate) fn plain(&self, aim: JointAim, slots: usize, found: i128) -> i128 {
        let unit = self.unit(aim, slots);
        let found = found - self.shift(aim, slots);
        found / unit + i128::from(found % unit != 0)
    }

    /// What the search calls this value of the aim.
    pub(crate) fn searched(&self, aim: JointAim, slots: usize, value: i128) -> i128 {
        value * self.unit(aim, slots) + self.shift(aim, slots)
    }

    fn shift(&self, aim: JointAim, slots: usize) -> i128 {
        if aim == JointAim::Total { -self.cost.centre * slots as i128 } else { 0 }
    }

    /// Σ (n·v − T)² is n times n·Σ v² − T²; worst costs are not squared.
    fn unit(&self, aim: JointAim, slots: usize) -> i128 {
        match aim {
            JointAim::SquaresAboutMean => slots as i128,
            _ => self.cost.factor * self.cost.factor,
        }
    }
}

impl Near {
    pub(crate) fn new(ground: &Ground<'_>, outer: Outer, costs: &Costs) -> Result<Self, JointError> {
        let triples = ground.triples(outer)?;
        let mut costs_of: Vec<i128> = triples.iter().map(|triple| costs.cost.of(triple.value)).collect();
        let (mut rule, mut met, mut floor) = (Rule::Worst, None, None);
        if let CostRule::Sum { base, settles_squares } = costs.rule {
            rule = Rule::Sum { start: base, base, cost: costs.cost, settles_squares };
            if let Some(prices) = Prices::of(ground, &triples, &costs_of) {
                costs_of = triples.iter().zip(&costs_of).map(|(&triple, &cost)| prices.with(triple, cost)).collect();
                rule = Rule::Sum { start: base - prices.all(), base, cost: costs.cost, settles_squares };
                floor = Some(base + prices.floor);
                met = prices.choice.map(|(_, items)| items);
            }
        }
        let mut priced: Vec<(i128, Triple)> = costs_of.into_iter().zip(triples).collect();
        priced.sort_by_key(|&(cost, triple)| (cost, triple.slot));
        let mut least = vec![None; ground.slots];
        for (cost, triple) in &priced {
            least[usize::from(triple.slot)].get_or_insert(*cost);
        }
        if matches!(rule, Rule::Worst) {
            let all: Option<Vec<i128>> = least.iter().copied().collect();
            floor = all.map(|all| all.into_iter().max().unwrap_or(0));
        }
        let (costs_of, triples) = priced.into_iter().unzip();
        Ok(Self { outer, rule, triples, costs: costs_of, least, met, floor })
    }

    /// Looks through everything that the bar lets through.
    pub(crate) fn pass(&self, core: &mut Core<'_, '_>) {
        let Some(floor) = self.floor.filter(|&floor| floor <= core.bar.key.0) else {
            return;
        };
        if matches!(self.rule, Rule::Worst) && core.bar.is_about_aim() && thick::suits(core.ground) {
            self.matched(core);
            return;
        }
        let bar = core.bar.key.0;
        let fits = |cost: i128, triple: Triple| match self.rule {
            Rule::Sum { .. } => {
                let own = self.least[usize::from(triple.slot)].unwrap_or(0);
                cost - own <= bar - floor
            }
            _ => cost <= bar,
        };
        let kept = self.costs.iter().zip(&self.triples).filter(|&(&cost, &triple)| fits(cost, triple));
        let (costs, triples): (Vec<i128>, Vec<Triple>) = kept.map(|(&cost, &triple)| (cost, triple)).unzip();
        core.search(Window { outer: self.outer, rule: self.rule, triples: &triples, costs: &costs, root: None });
    }
    /// The same for worst costs by placing one kind and matching the other, ever below the last choice found.
    fn matched(&self, core: &mut Core<'_, '_>) {
        let mut search = Thick::new(core.ground);
        while !core.is_over() {
            let bar = core.bar.key.0;
            let within = self.costs.partition_point(|&cost| cost <= bar);
            let Some((first, second)) = search.find(self.triples[..within].iter(), &mut core.meter) else { return };
            let cost = |triple: &&Triple| {
                let slot = usize::from(triple.slot);
                (first.get(slot), second.get(slot)) == (Some(&triple.first), Some(&triple.second))
            };
            let picked = self.costs.iter().zip(&self.triples).filter(|(_, triple)| cost(triple));
            let worst = picked.map(|(&cost, _)| cost).max().unwrap_or(0);
            core.take_worth(worst, self.outer, &first, &second);
        }
    }
}
