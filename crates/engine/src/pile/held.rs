//! Couples that are left once totals are held.

use pairwright_assign::{
    Budget, Couple, Filled, JointAim, JointOutcome, JointProblem, Outer, Slot, SumLimit, Table, joint_prices,
    solve_joint,
};
use pairwright_proof::{Beside, JointChoice, JointStatement, Measure, Scale, Shape, check_joint, evaluate_joint};

use super::PileError;
use super::couples::Laid;
use crate::plan::PlanError;

/// Partial plans that the search of one future may look at, for each criterion.
const EFFORT: u64 = 20_000;
/// Prices of parts beyond this say nothing.
const DEAR: i64 = 1 << 50;

/// What a search came to.
pub(super) enum Came {
    /// Couples, and whether none are better.
    To(JointChoice, bool),
    /// It ended early, and without any.
    Open,
    /// There are none.
    Nothing,
}

/// Couples under limits on totals.
pub(super) struct Held<'l> {
    laid: &'l Laid<'l>,
    tables: [Table; 2],
    /// Couples that may stand, in the order of [`Laid::place`].
    may_stand: Vec<bool>,
    /// Those of them that are part of any choice within the limits, as far as prices tell.
    open: Vec<bool>,
    totals: Vec<Total>,
}

/// A total that is held.
struct Total {
    values: Vec<i64>,
    /// The same with prices of the parts, all prices taken off in the first position: whoever uses every part that has a price comes to
    /// the same total, and everybody else to less. So branches are closed far sooner.
    priced: Option<Vec<i64>>,
    most: i128,
}

impl<'l> Held<'l> {
    /// All couples that may stand.
    pub(super) fn new(laid: &'l Laid<'l>, may_stand: Vec<bool>) -> Result<Self, PileError> {
        let slots = laid.couples.slots;
        let table = |items: usize| Table::from_fn(Shape { slots, items }, |_, _| Some(0));
        let tables = [table(laid.items)?, table(laid.couples.others)?];
        Ok(Self { laid, tables, open: may_stand.clone(), may_stand, totals: Vec::new() })
    }

    /// The best couples of these values within all that is held, searched from `start`, which is among them.
    pub(super) fn best(&self, aim: JointAim, values: &[i64], start: Option<JointChoice>) -> Result<Came, PileError> {
        let ways = self.totals.iter().flat_map(|total| {
            let priced = total.priced.iter().map(move |priced| (priced, total.most));
            priced.chain([(&total.values, total.most)])
        });
        let worths: Vec<_> = ways
            .map(|(values, most)| {
                let worth =
                    move |_: Outer, slot: Slot, items: Couple| values.get(self.laid.place(slot, items)).copied();
                (worth, most)
            })
            .collect();
        let limits: Vec<SumLimit<'_>> =
            worths.iter().map(|(worth, most)| SumLimit { worth, measure: Measure::Total, most: *most }).collect();
        let outcome = self.stated(&self.open, values, |statement| {
            let problem = JointProblem::new(statement, aim)?.with_tie_effort(0).within(&limits);
            let problem = match start {
                Some(start) => problem.start_from(start)?,
                None => problem,
            };
            solve_joint(&problem, &Budget::nodes(EFFORT))
        });
        Ok(match outcome.map_err(PlanError::from)? {
            JointOutcome::Proven(solution) => Came::To(solution.choice, true),
            JointOutcome::BestFound { solution, .. } => Came::To(solution.choice, false),
            JointOutcome::NothingFound { .. } => Came::Open,
            JointOutcome::Impossible(_) => Came::Nothing,
        })
    }

    /// Keeps to couples whose values come to no more than `most`.
    ///
    /// With prices of at least 0 of the parts no choice has a smaller total than the least of value and prices in every position,
    /// less all prices: couples that are dearer than the least of their position by more than is left are part of none.
    pub(super) fn hold(&mut self, values: Vec<i64>, most: i128) -> Result<(), PileError> {
        let prices =
            self.stated(&self.open, &values, |statement| joint_prices(&JointProblem::new(statement, JointAim::Total)?));
        let prices = prices.map_err(PlanError::from)?.pop().flatten();
        let narrow = |prices: &Vec<i128>| -> Option<Vec<i64>> {
            prices.iter().map(|&price| i64::try_from(price).ok().filter(|&price| price < DEAR)).collect()
        };
        let prices = prices.and_then(|prices| Some([narrow(&prices.items[0])?, narrow(&prices.items[1])?]));
        let priced = prices.map(|prices| self.priced(&values, &prices));
        if let Some(priced) = &priced {
            self.close(priced, most);
        }
        self.totals.push(Total { values, priced, most });
        Ok(())
    }

    /// Values with the prices of both parts, all prices taken off in the first position.
    fn priced(&self, values: &[i64], [firsts, seconds]: &[Vec<i64>; 2]) -> Vec<i64> {
        let all: i64 = firsts.iter().chain(seconds).sum();
        let price = |prices: &[i64], at: usize| prices.get(at).copied().unwrap_or(0);
        let with = |((slot, items), value): ((Slot, Couple), &i64)| {
            let own = price(firsts, items.first.index()) + price(seconds, items.second.index());
            value + own - if slot.index() == 0 { all } else { 0 }
        };
        self.laid.cells().zip(values).map(with).collect()
    }

    /// Closes couples that are dearer than the least of their position by more than the total may still give.
    fn close(&mut self, priced: &[i64], most: i128) {
        let of_slot = self.laid.items * self.laid.couples.others;
        let mut least: Vec<Option<i64>> = vec![None; self.laid.couples.slots];
        for (place, &value) in priced.iter().enumerate().filter(|&(place, _)| self.open[place]) {
            let own = &mut least[place / of_slot];
            *own = Some(own.map_or(value, |known| known.min(value)));
        }
        let spare = most - least.iter().flatten().map(|&value| i128::from(value)).sum::<i128>();
        for (place, &value) in priced.iter().enumerate() {
            let above = least[place / of_slot].map(|least| i128::from(value) - i128::from(least));
            self.open[place] &= above.is_some_and(|above| above <= spare);
        }
    }

    /// The value of couples by the checker, which goes over rules and limits, too; as the solver counts.
    pub(super) fn checked(&self, aim: JointAim, values: &[i64], choice: &JointChoice) -> Result<i128, PileError> {
        let measure = aim.measure();
        let own = self.stated(&self.may_stand, values, |statement| {
            let own = evaluate_joint(measure, &statement, choice)?;
            check_joint(&statement, measure, choice, own).map(|()| own)
        });
        for total in &self.totals {
            // One that comes to more is refused as worth something else.
            let within = self.stated(&self.may_stand, &total.values, |statement| {
                check_joint(&statement, Measure::Total, choice, self.laid.total(&total.values, choice).min(total.most))
            });
            within.map_err(PlanError::from)?;
        }
        Ok(own.map_err(PlanError::from)?)
    }

    /// Puts a question about these values to the solver or the checker.
    fn stated<R>(&self, open: &[bool], values: &[i64], run: impl FnOnce(JointStatement<'_>) -> R) -> R {
        let laid = self.laid;
        let free = |_: Outer, slot: Slot, items: Couple| {
            let place = laid.place(slot, items);
            open.get(place).is_some_and(|&open| open).then(|| values.get(place).copied()).flatten()
        };
        let may_stand = |_: Outer, one: Filled, other: Filled| laid.may_stand(one, other);
        let is_free = laid.couples.widths.is_empty() && laid.couples.apart.is_empty();
        run(JointStatement {
            first: &self.tables[0],
            second: &self.tables[1],
            barred: &[],
            offsets: &[vec![0; laid.couples.slots]],
            scale: Scale::Free(&free),
            beside: (!is_free).then_some(Beside(&may_stand)),
        })
    }
}
