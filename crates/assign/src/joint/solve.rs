//! The method: levels from below, each a pass over everything that could reach it.

use super::any;
use super::bar::{Bar, Key};
use super::budget::{Budget, Progress, Stop};
use super::descend::Core;
use super::fields::Fields;
use super::ground::Ground;
use super::meter::Meter;
use super::near::Costs;
use super::outcome::{JointOutcome, JointShortage, JointSolution, Ties};
use super::problem::{JointAim, JointError, JointProblem};
use super::start;
use pairwright_proof::{Choice, Item, JointChoice, JointFault, Measure, Outer, check_joint, evaluate_joint};

/// Outer choices under which exchanges look for a better choice.
const TRIED: usize = 4;
/// Partial plans after which exchanges look for a better choice to start from.
const LONG: u64 = 1 << 13;
/// Passes and partial plans without any choice after which it is asked whether there is one at all.
const PASSES: u32 = 24;
/// See [`PASSES`].
const PATIENCE: u64 = 1 << 17;
/// What the search for the aim counts for at least when ties may take a multiple of it.
const TIE_UNIT: u64 = 1 << 14;
/// A level that took fewer partial plans than this is left in a longer stride.
const CHEAP: u64 = 1 << 10;

/// The best joint choice, proven by branch and bound, or the best found when the budget ends first.
///
/// For [`JointOutcome::Proven`] no choice has a smaller value of the aim, and [`Ties`] says how far ties were
/// settled. The answer is the same on every machine unless the budget's clock or flag ends the search.
///
/// # Method
/// All triples (slot, item, item) are sorted by value once for every outer choice that differs in substance. A level of the aim
/// says which windows can matter: for spread and squares about the mean those below each triple, for distances
/// from a target the one around it. Levels rise from a bound that holds for certain until a pass finds a choice; the pass
/// goes on with what it found as the new level, so that at its end nothing better is left. Windows are searched
/// depth-first, the slot (or the item, where all of a kind are used) with the fewest triples first.
/// Where every item is used and adds the same in every slot, the total is known and windows have to hold the mean.
///
/// Sorting costs O(o·N log N) for o outer choices and N triples each; the search is exponential in the number of slots in
/// the worst case. Levels from below cost a small multiple of the last one, since cost grows steeply with the level.
///
/// # References
/// - S. Martello, W. R. Pulleyblank, P. Toth, D. de Werra, *Balanced optimization problems*, Oper. Res. Lett. 3
///   (1984): spread by windows of values (from memory).
/// - W. P. Pierskalla, *The multidimensional assignment problem*, Oper. Res. 16 (1968): branch and bound over triples
///   (from memory).
///
/// # Errors
/// [`JointError::Magnitude`] if the scale gives a value too large to calculate with.
///
/// # Examples
/// ```
/// use pairwright_assign::{
///     Budget, Item, JointAim, JointOutcome, JointProblem, JointStatement, Outer, Scale, Shape, Table, solve_joint,
/// };
///
/// // Two slots; an item of each kind adds the same in both.
/// let (a, b) = ([0, 7, 3], [10, 5]);
/// let first = Table::from_fn(Shape { slots: 2, items: 3 }, |_, item| Some(a[item.index()]))?;
/// let second = Table::from_fn(Shape { slots: 2, items: 2 }, |_, item| Some(b[item.index()]))?;
/// let offsets = [vec![0, 1], vec![0, 2]];
/// let statement = JointStatement {
///     first: &first,
///     second: &second,
///     barred: &[],
///     offsets: &offsets,
///     scale: Scale::Sum,
///     beside: None,
/// };
/// let problem = JointProblem::new(statement, JointAim::Spread)?;
/// let JointOutcome::Proven(best) = solve_joint(&problem, &Budget::default())? else { panic!("a small problem") };
/// // 3 + 10 in slot 0 and 7 + 5 + 1 in slot 1. The other outer choice can do the same (7 + 5 and 0 + 10 + 2): the first wins.
/// assert_eq!(best.value, 0);
/// assert_eq!(best.choice.outer, Outer::new(0));
/// assert_eq!(best.choice.first.items(), [2, 1].map(Item::new));
/// assert_eq!(best.choice.second.items(), [0, 1].map(Item::new));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn solve_joint(problem: &JointProblem<'_>, budget: &Budget<'_>) -> Result<JointOutcome, JointError> {
    if problem.statement().slots() == 0 {
        return Ok(nothing_to_place());
    }
    let matched = match start::kind_by_kind(problem.statement()) {
        Ok(matched) => matched,
        Err((side, shortage)) => return Ok(JointOutcome::Impossible(JointShortage::Kind { side, shortage })),
    };
    let ground = Ground::new(problem);
    let fields = match problem.floors() {
        Some(floors) => Fields::above(&ground, problem.aim(), floors),
        None => Fields::new(&ground, problem.aim())?,
    };
    let Some(floor) = fields.floor() else {
        return Ok(JointOutcome::Impossible(JointShortage::Together));
    };
    let mut climb =
        Climb { problem, ground: &ground, fields: &fields, bound: floor, floor, known: None, exchanged: false };
    climb.start(&matched);
    let mut core = Core::new(&ground, Meter::new(budget), Bar::aim(i128::MAX));
    climb.rise(&matched, &mut core)
}

fn nothing_to_place() -> JointOutcome {
    let nothing = || Choice::new(Vec::new());
    let choice = JointChoice { outer: Outer::new(0), first: nothing(), second: nothing() };
    JointOutcome::Proven(JointSolution { choice, value: 0, squares: 0, ties: Ties::Settled })
}

struct Climb<'p> {
    problem: &'p JointProblem<'p>,
    ground: &'p Ground<'p>,
    fields: &'p Fields<'p>,
    /// No choice has a smaller aim, in the unit of the search.
    bound: i128,
    /// The best choice known before the last pass.
    known: Option<(Key, JointChoice)>,
    /// Where the levels began.
    floor: i128,
    exchanged: bool,
}

impl Climb<'_> {
    /// The caller's choice to start from, or else what matching kind by kind gives.
    fn start(&mut self, matched: &[Vec<Item>; 2]) {
        let own = self.problem.start().cloned();
        let mut outers = self.fields.outers().take(TRIED);
        let choice = own.or_else(|| outers.find_map(|outer| start::matched_choice(self.ground, outer, matched)));
        self.known = choice.and_then(|choice| Some((self.key(&choice).ok()?, choice)));
        for (floor, choice) in self.fields.met() {
            if self.known.as_ref().is_some_and(|(key, _)| key.0 < floor) {
                break;
            }
            let found = self.key(&choice).ok().map(|key| (key, choice));
            self.known = found.into_iter().chain(self.known.take()).min();
        }
    }

    /// Betters the known choice by exchanges, once, unless the caller gave it.
    fn exchange(&mut self, matched: &[Vec<Item>; 2]) {
        if std::mem::replace(&mut self.exchanged, true) || self.problem.start().is_some() {
            return;
        }
        let outers: Vec<Outer> = self.fields.outers().take(TRIED).collect();
        let plans = start::exchanged(self.ground, self.problem.aim(), &outers, matched, self.problem.seed());
        let keyed = plans.into_iter().filter_map(|choice| Some((self.key(&choice).ok()?, choice)));
        self.known = keyed.chain(self.known.clone()).min();
    }

    /// Betters what is known by exchanges from there.
    fn better(&mut self) {
        let Some((_, choice)) = &self.known else { return };
        let plans = start::bettered(self.ground, self.problem.aim(), choice, self.problem.seed());
        let keyed = plans.into_iter().filter_map(|choice| Some((self.key(&choice).ok()?, choice)));
        self.known = keyed.chain(self.known.clone()).min();
    }

    /// Looks for any choice at all by going through everything.
    fn any(&mut self, core: &mut Core<'_, '_>) -> Result<bool, JointError> {
        let choice = any::choice(self.ground, core)?;
        self.known = choice.and_then(|choice| Some((self.key(&choice).ok()?, choice)));
        Ok(self.known.is_some())
    }

    /// Raises the level until something is found at or below it, then settles ties.
    fn rise(&mut self, matched: &[Vec<Item>; 2], core: &mut Core<'_, '_>) -> Result<JointOutcome, JointError> {
        let mut level = self.bound;
        let mut passes = 0;
        loop {
            // Low levels find a choice soon if there is one; only then is it asked whether there is any.
            if self.known.is_none() && (passes == PASSES || core.meter.spent() > PATIENCE) && !self.any(core)? {
                return Ok(match core.meter.stopped() {
                    Some(stop) => JointOutcome::NothingFound { bound: self.plain(self.bound), stop },
                    None => JointOutcome::Impossible(JointShortage::Together),
                });
            }
            passes += 1;
            if let Some((key, _)) = self.known.as_ref().filter(|(key, _)| key.0 <= self.bound) {
                self.bound = key.0;
                return self.settle(core);
            }
            let target = match &self.known {
                Some((key, _)) if key.0 <= level => key.0 - 1,
                _ => level,
            };
            core.bar = Bar::aim(target);
            self.report(core);
            let before = core.meter.spent();
            self.fields.pass(core)?;
            if let Some((key, choice)) = core.bar.best() {
                self.known = Some((self.key(choice).unwrap_or(*key), choice.clone()));
            }
            if let Some(stop) = core.meter.stopped() {
                self.exchange(matched);
                self.better();
                return Ok(self.best_found(stop));
            }
            if let Some((key, _)) = self.known.as_ref().filter(|(key, _)| key.0 <= level) {
                self.bound = key.0;
                return self.settle(core);
            }
            self.bound = level + 1;
            level = self.next(level, core.meter.spent() - before);
            if core.meter.spent() > LONG {
                self.exchange(matched);
            }
        }
    }

    /// Of all choices as good as the known one by the aim, the first in order of those with the least squares.
    fn settle(&mut self, core: &mut Core<'_, '_>) -> Result<JointOutcome, JointError> {
        let Some((key, choice)) = self.known.take() else {
            return Ok(JointOutcome::NothingFound { bound: self.plain(self.bound), stop: Stop::Nodes });
        };
        core.meter.cap(self.problem.tie_effort().saturating_mul(core.meter.spent().max(TIE_UNIT)));
        core.bar = Bar::ties(key, choice.clone());
        self.fields.pass(core)?;
        let ties = match core.meter.stopped() {
            Some(_) => Ties::Open,
            None if core.bar.is_crowded() => Ties::Squares,
            None => Ties::Settled,
        };
        let best = core.bar.best().map_or(choice, |(_, choice)| choice.clone());
        Ok(JointOutcome::Proven(self.solution(best, ties)))
    }

    /// The next level: further away where the last one cost little.
    fn next(&self, level: i128, spent: u64) -> i128 {
        if self.problem.aim() == JointAim::Total {
            // Totals count from far below: what matters is how far the level has risen.
            return level.saturating_add((level - self.floor).max(1));
        }
        let squares = matches!(self.problem.aim(), JointAim::SquaresFrom { .. } | JointAim::SquaresAboutMean);
        let stride = match (squares, spent < CHEAP) {
            (true, true) => level.saturating_add(level / 2),
            (true, false) | (false, true) => level / 2,
            (false, false) => level / 5,
        };
        level.saturating_add(stride.max(1))
    }

    fn best_found(&self, stop: Stop) -> JointOutcome {
        match self.known.clone() {
            // The value is at the bound already: only ties are open.
            // The search's unit may be finer than the aim's, whose values are whole.
            Some((key, choice)) if self.plain(key.0) <= self.plain(self.bound) => {
                JointOutcome::Proven(self.solution(choice, Ties::Open))
            }
            Some((_, choice)) => {
                let solution = self.solution(choice, Ties::Open);
                JointOutcome::BestFound { solution, bound: self.plain(self.bound), stop }
            }
            None => JointOutcome::NothingFound { bound: self.plain(self.bound), stop },
        }
    }

    fn solution(&self, choice: JointChoice, ties: Ties) -> JointSolution {
        let worth = |measure| {
            let value = evaluate_joint(measure, self.problem.statement(), &choice);
            value.expect("a choice of allowed triples has values, and their squares are far from the i128's end")
        };
        let (value, squares) = (worth(self.problem.aim().measure()), worth(Measure::SquaresAboutMean));
        JointSolution { choice, value, squares, ties }
    }

    /// The key of a choice in the unit of the search.
    fn key(&self, choice: &JointChoice) -> Result<Key, JointFault> {
        let statement = self.problem.statement();
        let value = evaluate_joint(self.problem.aim().measure(), statement, choice)?;
        if let Some(item) = self.problem.brought_in().filter(|&item| choice.first.slot(item).is_none()) {
            return Err(JointFault::Unused { item });
        }
        if !self.ground.limits.iter().all(|limit| limit.holds(choice)) {
            return Err(JointFault::Overflow);
        }
        if statement.beside.is_some() {
            // Exchanges do not ask who stands beside whom.
            check_joint(statement, self.problem.aim().measure(), choice, value)?;
        }
        let squares = evaluate_joint(Measure::SquaresAboutMean, statement, choice)?;
        let aim = match Costs::of(self.problem.aim(), self.ground, choice.outer) {
            Some(costs) => costs.searched(self.problem.aim(), self.ground.slots, value),
            None => value,
        };
        let settles = self.problem.aim() == JointAim::SquaresAboutMean;
        Ok((aim, if settles { 0 } else { squares }))
    }

    /// The aim's own value of a bound, rounded up.
    fn plain(&self, bound: i128) -> i128 {
        let outer = self.ground.outers.first().copied().unwrap_or(Outer::new(0));
        match Costs::of(self.problem.aim(), self.ground, outer) {
            Some(costs) => costs.plain(self.problem.aim(), self.ground.slots, bound),
            None => bound,
        }
    }

    fn report(&self, core: &Core<'_, '_>) {
        if let Some(progress) = core.meter.budget().progress {
            let best = self.known.as_ref().map(|((aim, _), _)| self.plain(*aim));
            progress(Progress { nodes: core.meter.spent(), criterion: 0, best, bound: self.plain(self.bound) });
        }
    }
}
