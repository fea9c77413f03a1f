//! Certificates where two roles are placed together: criterion after criterion, as far as proofs reach.

use pairwright_assign::{Budget, JointAim, JointPrices, JointProblem, Outer, joint_prices, prove_joint};
use pairwright_proof::{Checked, JointFault, JointProof, check_joint, verify_joint};

use super::certificate::Certificate;
use super::chain::Pick;
use super::choose::{Chosen, PlanError};
use super::joint::Joint;
use super::pieces::Left;
use super::search::Asked;
use super::setting::Setting;

/// Nodes that the proof of the aim, or of what comes before it, may take.
const EFFORT: u64 = 4_000_000;
/// The same of a criterion after it.
const LATER: u64 = 200_000;

/// Why no choice of both roles is better by a criterion, those before it held.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JointLevel {
    /// The best value there is, as the criterion counts it.
    pub best: i128,
    /// A choice that has it; `None` if the plan itself does. Needed only where the aim may give something.
    pub witness: Option<Witness>,
    /// For a total the prices of the parts of either role, under every outer choice; else empty.
    pub prices: Vec<[Vec<i64>; 2]>,
    /// The proof.
    pub proof: JointProof,
}

/// A choice of both roles, or of several parts of one kind a position.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Witness {
    /// Heads and gaskets.
    pub setting: Setting,
    /// The part of the first role at every position, by index.
    pub parts: Vec<usize>,
    /// The part of the second role at every position; of several roles beside the first, all those of a position before
    /// those of the next.
    pub seconds: Vec<usize>,
}

/// Prices of a total, and the proof with them.
type PricedProof = (Vec<[Vec<i64>; 2]>, JointProof);

impl<'q> Joint<'q> {
    /// The proofs of as many criteria as proofs are found for, in order.
    pub(super) fn proofs(&self, chosen: &Chosen) -> Result<Vec<JointLevel>, PlanError> {
        let own = Pick { setting: chosen.setting, firsts: chosen.parts.clone(), seconds: chosen.seconds.clone() };
        let mut proofs = Vec::new();
        let mut left = self.left_for_proofs()?;
        for (at, level) in self.levels.iter().enumerate().take(self.told) {
            let (mut best, mut witness) = (level.searched(chosen.values[at]), None);
            if at == self.before && self.question.matching.aim.slack.is_some() {
                let Some((pick, value)) = self.best_by_the_aim()? else { break };
                (best, witness) = (value, Some(pick));
            }
            let Some((prices, proof)) = left.proof(at, witness.as_ref().unwrap_or(&own), best)? else { break };
            let witness = witness.map(|pick| Witness {
                setting: self.settings[pick.setting].clone(),
                parts: pick.firsts,
                seconds: pick.seconds,
            });
            proofs.push(JointLevel { best: level.plain(best), witness, prices, proof });
            let slack = if at == self.before { self.slack(best) } else { 0 };
            left.hold(at, best + slack)?;
        }
        Ok(proofs)
    }

    /// What proofs speak of: all choices that cost no more than may be spent, as far as parts tell, and perhaps more.
    pub(super) fn left_for_proofs(&self) -> Result<Left<'_, 'q>, PlanError> {
        let all = self.every.iter().cloned();
        let mut left = Left::new(self, &self.levels, self.tables(Asked::default())?, all).for_proofs();
        left.hold_spend()?;
        Ok(left)
    }

    /// Goes over a certificate; the levels are those that hold from the first criterion on.
    pub(super) fn check(&self, certificate: &Certificate) -> Result<Checked, PlanError> {
        let own = self.pick_of(&certificate.setting, &certificate.parts, &certificate.seconds)?;
        let mut left = self.left_for_proofs()?;
        left.allows(&own)?;
        let of = self.told;
        if certificate.values.len() != of || !self.can_pay_for(&own) {
            return Err(PlanError::NoSetting);
        }
        for (at, (level, &claimed)) in self.levels.iter().zip(&certificate.values).enumerate() {
            let actual = level.plain(self.worth(at, &own));
            if actual != claimed {
                return Err(JointFault::Value { claimed, actual }.into());
            }
        }
        let mut held: Vec<i128> = Vec::new();
        for (at, proven) in certificate.joint.iter().enumerate().take(of) {
            let level = &self.levels[at];
            let (best, mine) = (level.searched(proven.best), level.searched(certificate.values[at]));
            let slack = if at == self.before { self.slack(best) } else { 0 };
            if mine > best + slack {
                return Err(JointFault::Value { claimed: proven.best, actual: certificate.values[at] }.into());
            }
            let witness = match &proven.witness {
                Some(witness) => self.pick_of(&witness.setting, &witness.parts, &witness.seconds)?,
                None => own.clone(),
            };
            // Some proofs are about more choices than are left: what has the best value has to be among those that are.
            let is_left = held.iter().enumerate().all(|(at, &most)| self.worth(at, &witness) <= most);
            if !is_left || !self.can_pay_for(&witness) {
                return Err(PlanError::NoSetting);
            }
            left.check(at, &witness, best, proven)?;
            held.push(best + slack);
            left.hold(at, best + slack)?;
        }
        Ok(Checked { levels: certificate.joint.len().min(of), of })
    }

    fn pick_of(&self, setting: &Setting, firsts: &[usize], seconds: &[usize]) -> Result<Pick, PlanError> {
        let number = self.settings.iter().position(|known| known == setting).ok_or(PlanError::NoSetting)?;
        let positions = self.question.positions.len();
        if firsts.len() != positions || seconds.len() != positions {
            return Err(PlanError::NoSetting);
        }
        Ok(Pick { setting: number, firsts: firsts.to_vec(), seconds: seconds.to_vec() })
    }
}

impl Left<'_, '_> {
    /// The proof that nothing is better than this choice, which has that value; `None` where none is found.
    fn proof(&mut self, level: usize, pick: &Pick, best: i128) -> Result<Option<PricedProof>, PlanError> {
        let all = self.pieces.clone();
        self.without_like_pieces(level);
        let effort = if level <= self.joint.before { EFFORT } else { LATER };
        let mut found = None;
        // Prices given for nothing may hide that nothing is better: then the tree has to do without.
        for careful in [false, true] {
            let prices = self.prices(level, pick, careful.then_some(best))?;
            let prove = |problem: JointProblem<'_>| Ok(prove_joint(&problem, best, &Budget::nodes(effort)).ok());
            found = self.posed_at(level, &prices, prove)?.flatten().map(|proof| (prices, proof));
            if found.is_some() || self.levels[level].aim != JointAim::Total {
                break;
            }
        }
        self.pieces = all;
        Ok(found)
    }

    /// Prices that make the bound of a total high; none of parts that the choice itself does not use, and none at all where
    /// that leaves the bound below `least`.
    fn prices(&self, level: usize, pick: &Pick, least: Option<i128>) -> Result<Vec<[Vec<i64>; 2]>, PlanError> {
        if self.levels[level].aim != JointAim::Total {
            return Ok(Vec::new());
        }
        let own = self.joint_choice(level, pick).map(|choice| choice.outer);
        let all = self.posed(level, |problem| Ok(joint_prices(&problem)?))?.unwrap_or_default();
        let shape = self.joint.shape;
        let of = |(outer, prices): (u32, Option<JointPrices>)| {
            let prices = prices.filter(|prices| least.is_none_or(|least| prices.floor >= least));
            let mut prices = prices.map_or_else(|| shape.map(|parts| vec![0; parts]), |prices| prices.items);
            if Some(Outer::new(outer)) == own {
                for (prices, used) in prices.iter_mut().zip([&pick.firsts, &pick.seconds]) {
                    let unused = prices.iter_mut().enumerate().filter(|(part, _)| !used.contains(part));
                    unused.for_each(|(_, price)| *price = 0);
                }
            }
            prices.map(|of_role| of_role.into_iter().map(|price| i64::try_from(price).unwrap_or(0)).collect())
        };
        Ok((0..).zip(all).map(of).collect())
    }

    /// Goes over one proof.
    fn check(&mut self, level: usize, witness: &Pick, best: i128, proven: &JointLevel) -> Result<(), PlanError> {
        let all = self.pieces.clone();
        self.without_like_pieces(level);
        let choice = self.joint_choice(level, witness).ok_or(PlanError::NoSetting)?;
        let is_priced = self.levels[level].aim == JointAim::Total && proven.prices.len() == self.pieces.len();
        if !proven.prices.is_empty() && !is_priced || proven.prices.iter().flatten().flatten().any(|&price| price < 0) {
            return Err(PlanError::Prices);
        }
        let verify = |problem: JointProblem<'_>| {
            let measure = problem.aim().measure();
            Ok(verify_joint(problem.statement(), measure, &choice, best, &proven.proof)?)
        };
        self.posed_at(level, &proven.prices, verify)?.ok_or(PlanError::NoSetting)?;
        self.pieces = all;
        Ok(())
    }

    /// Whether a choice keeps every rule.
    fn allows(&self, pick: &Pick) -> Result<(), PlanError> {
        let choice = self.joint_choice(0, pick).ok_or(PlanError::NoSetting)?;
        let value = self.joint.worth(0, pick);
        let check =
            |problem: JointProblem<'_>| Ok(check_joint(problem.statement(), problem.aim().measure(), &choice, value)?);
        self.posed(0, check)?.ok_or(PlanError::NoSetting)
    }
}
