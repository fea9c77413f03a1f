//! Certificates where limits on neighbours, or on what is spent, stand beside the criteria.

use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided_with_proof};
use pairwright_proof::{Checked, SidedProof, Statement, check_sided_impossible, check_sided_proof};

use super::certificate::{Elsewhere, told_criteria};
use super::certificate_reach::{Reach, sided_bests};
use super::choose::PlanError;
use super::search::Layout;
use super::tables::Tables;

impl Tables {
    /// Why these values are the best with the limits on neighbours; `None` where no proof is found, or something else is
    /// better.
    pub(super) fn proof_beside(&self, values: &[i128]) -> Result<Option<SidedProof>, PlanError> {
        let sided = SidedProblem::new(self.problem()?, self.sides())?;
        Ok(match solve_sided_with_proof(&sided) {
            (SidedOutcome::Proven(solution) | SidedOutcome::BestFound { solution, .. }, proof) => {
                proof.filter(|_| solution.values == values)
            }
            _ => None,
        })
    }

    /// Goes over such a proof.
    pub(super) fn check_beside(
        &self,
        parts: &[usize],
        values: &[i128],
        proof: &SidedProof,
    ) -> Result<Checked, PlanError> {
        let problem = self.problem()?;
        Ok(check_sided_proof(&problem.statement(), &self.sides(), &self.choice(parts), values, proof)?)
    }
}

impl Layout<'_> {
    /// Why this setting, with its limits on neighbours and on what is spent, is no better than a plan with these losses.
    pub(super) fn no_better_beside(&self, mine: &[i128], reach: Reach) -> Result<Elsewhere, PlanError> {
        let mut all = self.widest_tables().clone();
        let mut tables = all.up_to_the_aim();
        loop {
            let sided = SidedProblem::new(tables.problem()?, tables.sides())?;
            let (solution, proof) = match solve_sided_with_proof(&sided) {
                (SidedOutcome::Proven(solution) | SidedOutcome::BestFound { solution, .. }, Some(proof)) => {
                    (solution, proof)
                }
                (SidedOutcome::Impossible(_), Some(proof)) => return Ok(Elsewhere::NothingBeside(proof)),
                _ => return Ok(Elsewhere::Unproven),
            };
            let losses = self.losses(&solution.values);
            if reach.is_worse(&losses, mine) || tables.ranks.len() == all.ranks.len() {
                let parts = solution.choice.items().iter().map(|&item| tables.part(item)).collect();
                return Ok(Elsewhere::BestBeside { parts, values: solution.values, proof });
            }
            if tables.ranks.len() == reach.aim + 1 {
                all = all.within(&self.proven_bests(&sided_bests(&proof)), reach);
            }
            // As good so far: one criterion more.
            tables.ranks = all.ranks[..=tables.ranks.len()].to_vec();
        }
    }

    /// Goes over why this setting has nothing.
    pub(super) fn check_nothing_beside(&self, proof: &SidedProof) -> Result<(), PlanError> {
        let tables = self.widest_tables();
        let problem = tables.problem()?;
        let statement = problem.statement();
        let alone = Statement { criteria: &statement.criteria[..=tables.before], ..statement };
        Ok(check_sided_impossible(&alone, &tables.sides(), proof)?)
    }
}

impl Tables {
    /// How many levels hold of the best of a setting, of as many criteria as there are values.
    pub(super) fn check_best_beside(
        &self,
        (parts, values): (&[usize], &[i128]),
        proof: &SidedProof,
        reach: Reach,
    ) -> Result<Checked, PlanError> {
        let problem = self.problem()?;
        let statement = problem.statement();
        let told = values.len().min(statement.criteria.len());
        let criteria = told_criteria(&statement, told, reach);
        let part = Statement { criteria: &criteria, ..statement };
        Ok(check_sided_proof(&part, &self.sides(), &self.choice(parts), values, proof)?)
    }
}
