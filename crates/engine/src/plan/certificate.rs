//! A plan with its proof, and the going over of one.

use pairwright_assign::{Evidence, Outcome, solve_with_proof};
use pairwright_proof::{
    Checked, Choice, Criterion, Proof, Refutation, SidedProof, Statement, check_impossible, check_proof,
};

use super::Taken;
use super::certificate_joint::JointLevel;
use super::certificate_reach::{Reach, bests, sided_bests};
use super::choose::{Chosen, PlanError};
use super::roles::Roles;
use super::search::{Layout, Search};
use super::setting::Setting;
use super::several::SeveralLevel;
use super::tables::Tables;
use crate::job::{Job, Matching, Role};

/// What it takes to check a plan without solving anything: the choice, what it is worth, and why
/// nothing is better.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Certificate {
    /// Heads and gaskets.
    pub setting: Setting,
    /// The part of the first role at every position, by index.
    pub parts: Vec<usize>,
    /// The part of the second role at every position, where two are placed; of several roles beside the first, all those of
    /// a position before those of the next.
    pub seconds: Vec<usize>,
    /// The value of every criterion, in order.
    pub values: Vec<i128>,
    /// The proof under the plan's own setting, level by level. Its items are the columns of the tables, which
    /// follow from the job.
    pub proof: Proof,
    /// The proof instead of that, where limits on neighbours stand beside the criteria, or where the best plan of all
    /// costs more than may be spent.
    pub beside: Option<SidedProof>,
    /// Why every other setting is no better, in the order of the settings.
    pub elsewhere: Vec<Elsewhere>,
    /// Where two roles are placed together: why no two assignments under any setting are better, criterion after
    /// criterion as far as proofs reach.
    pub joint: Vec<JointLevel>,
    /// Where a position takes several parts of one kind: why no choice from the pile is better, criterion after criterion
    /// as far as proofs reach.
    pub several: Vec<SeveralLevel>,
}

/// Why a setting is no better.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Elsewhere {
    /// The best it has is this, which is worse.
    Best {
        /// The part at every position, by index.
        parts: Vec<usize>,
        /// The values of so many criteria as it takes to tell.
        values: Vec<i128>,
        /// The proof of those.
        proof: Proof,
    },
    /// It has no plan.
    Nothing(Refutation),
    /// The same as `Best`, where limits on neighbours, or what may be spent, stand beside the criteria.
    BestBeside {
        /// The part at every position, by index.
        parts: Vec<usize>,
        /// The values of so many criteria as it takes to tell.
        values: Vec<i128>,
        /// The proof of those.
        proof: SidedProof,
    },
    /// It has no plan with the limits on neighbours, or for what may be spent.
    NothingBeside(SidedProof),
    /// No proof was found.
    Unproven,
}

impl Certificate {
    /// The parts of a position, of so many roles: the first role's, then those of the roles beside it.
    pub fn at(&self, position: usize, roles: usize) -> impl Iterator<Item = usize> {
        let beside = roles.saturating_sub(1);
        let others = self.seconds.iter().skip(position * beside).take(beside);
        self.parts.get(position).into_iter().chain(others).copied()
    }

    /// Takes what the plan uses, the parts of positions one by one, those of banks once; and notes where they stand.
    pub fn take(&self, job: &Job, matching: usize, taken: &mut Taken) {
        self.put(job, matching, taken);
        let Some(asked) = job.matches.get(matching) else { return };
        let roles = placed_a_position(job, asked);
        for position in 0..self.parts.len() {
            let to = job.positions_of(asked).map_or(position, |positions| positions.among_all(position));
            for (role, part) in roles.iter().zip(self.at(position, roles.len())) {
                taken.take_to(&role.kind, part, to);
            }
        }
        for served in &self.setting.served {
            if let Some(role) = asked.place.get(served.role) {
                taken.take(&role.kind, served.part);
            }
        }
    }
}

/// The roles of which a part is chosen for every position: the one that varies in the tables and those that are chosen
/// with it, where there are any.
#[must_use]
pub fn placed_a_position(job: &Job, matching: &Matching) -> Vec<Role> {
    let Ok(roles) = Roles::new(job, matching) else { return Vec::new() };
    // A role that the match does not place stands as it is, and is called by its kind.
    let standing = |role: usize| roles.cast.kinds().nth(role).map(Role::of);
    let role = |role: usize| matching.place.get(role).cloned().or_else(|| standing(role));
    std::iter::once(roles.first).chain(roles.second).chain(roles.beside).filter_map(role).collect()
}

impl Search<'_> {
    /// The certificate of a choice, as far as one can be given.
    pub(crate) fn certificate(&self, chosen: &Chosen) -> Result<Certificate, PlanError> {
        let layout = self.layout(chosen)?;
        let mut certificate = Certificate {
            setting: layout.frame.setting.clone(),
            parts: chosen.parts.clone(),
            seconds: chosen.seconds.clone(),
            values: chosen.values.clone(),
            ..Certificate::default()
        };
        if let Some(joint) = self.joint() {
            certificate.joint = joint.proofs(chosen)?;
            return Ok(certificate);
        }
        if let Some(several) = self.several() {
            certificate.several = several.proofs(chosen)?;
            return Ok(certificate);
        }
        let reach = self.found_reach()?;
        let tables = layout.proven_tables(self, reach)?;
        let plain = if layout.has_limits_beside() { None } else { tables.proof_alone(&chosen.values)? };
        match plain {
            Some(proof) => certificate.proof = proof,
            None if layout.has_limits_beside() || tables.spend.is_some() => {
                certificate.beside = tables.proof_beside(&chosen.values)?;
            }
            None => {}
        }
        let mine = layout.losses(&chosen.values);
        let others = self.layouts().iter().enumerate().filter(|(at, _)| *at != chosen.setting);
        let others = others.map(|(_, other)| other.no_better(&mine, reach));
        certificate.elsewhere = others.collect::<Result<_, PlanError>>()?;
        Ok(certificate)
    }

    /// Goes over a certificate; nothing is solved. The levels are those that hold over all settings.
    ///
    /// # Errors
    /// [`PlanError::Refused`] with what is wrong.
    pub(crate) fn check(&self, certificate: &Certificate) -> Result<Checked, PlanError> {
        if let Some(joint) = self.joint() {
            return joint.check(certificate);
        }
        if let Some(several) = self.several() {
            return several.check(certificate);
        }
        let own = self.layouts().iter().position(|layout| layout.frame.setting == certificate.setting);
        let own = own.ok_or(PlanError::NoSetting)?;
        let layout = &self.layouts()[own];
        let mine = layout.losses(&certificate.values);
        let reach = self.stated_reach(own, certificate);
        let tables = layout.stated_tables(self, certificate, reach)?;
        let choice = tables.choice(&certificate.parts);
        tables.check_means(&certificate.parts, &certificate.values)?;
        let mut checked = if layout.has_limits_beside() || certificate.beside.is_some() {
            let none = SidedProof::Levels(Vec::new());
            let proof = certificate.beside.as_ref().unwrap_or(&none);
            tables.check_beside(&certificate.parts, &certificate.values, proof)?
        } else {
            check_proof(&tables.problem()?.statement(), &choice, &certificate.values, &certificate.proof)?
        };
        if reach.most.is_some_and(|most| mine.get(reach.aim).is_none_or(|&loss| loss > most)) {
            // What may be given from the best that is stated is not enough for this plan.
            checked.levels = checked.levels.min(reach.aim);
        }
        let others = self.layouts().iter().enumerate().filter(|(at, _)| *at != own).map(|(_, other)| other);
        let mut stated = certificate.elsewhere.iter();
        for other in others {
            let holds = match stated.next() {
                Some(stated) => other.check(stated, &mine, checked.of, reach)?,
                None => 0,
            };
            checked.levels = checked.levels.min(holds);
        }
        Ok(checked)
    }
}

impl Layout<'_> {
    /// The tables that the plan's own proof is about: what the aim may give counts from the best of all settings.
    fn proven_tables(&self, search: &Search<'_>, reach: Reach) -> Result<Tables, PlanError> {
        if search.layouts().len() == 1 {
            return self.tables.clone().giving_what_it_may(search.question);
        }
        if reach.most.is_none() {
            return Ok(self.tables.clone());
        }
        let alone = self.tables.up_to_the_aim();
        let best = alone.answer(&alone.problem()?)?.chosen().map(|chosen| self.losses(&chosen.values));
        Ok(self.tables.within(&best.unwrap_or_default(), reach))
    }

    /// Whether limits on neighbours stand beside the criteria.
    fn has_limits_beside(&self) -> bool {
        !self.tables.apart.is_empty()
    }

    /// Values turned so that less is better, with what the setting itself adds.
    pub(super) fn losses(&self, values: &[i128]) -> Vec<i128> {
        let ranks = self.tables.ranks.iter().zip(values).zip(&self.adds);
        ranks.map(|((rank, value), add)| rank.loss(value + add)).collect()
    }

    /// Why this setting is no better than a plan with these losses.
    fn no_better(&self, mine: &[i128], reach: Reach) -> Result<Elsewhere, PlanError> {
        if self.has_limits_beside() {
            return self.no_better_beside(mine, reach);
        }
        let mut all = self.widest_tables().clone();
        let mut tables = all.up_to_the_aim();
        loop {
            let (outcome, evidence) = solve_with_proof(&tables.problem()?);
            let (proof, solution) = match (evidence, outcome.solution()) {
                (Evidence::Proof(proof), Some(solution)) => (proof, solution),
                (Evidence::Impossible(reason), _) => return Ok(Elsewhere::Nothing(reason)),
                _ => return Ok(Elsewhere::Unproven),
            };
            let losses = self.losses(&solution.values);
            let is_worse = reach.is_worse(&losses, mine);
            if !is_worse && all.spend.is_some() {
                // Whatever it costs it is no worse: only what may be spent makes it so.
                return self.no_better_beside(mine, reach);
            }
            if is_worse || tables.ranks.len() == all.ranks.len() {
                let parts = solution.choice.items().iter().map(|&item| tables.part(item)).collect();
                return Ok(Elsewhere::Best { parts, values: solution.values.clone(), proof });
            }
            if tables.ranks.len() == reach.aim + 1 {
                all = all.within(&self.proven_bests(&bests(&proof)), reach);
            }
            // As good so far: one criterion more.
            tables.ranks = all.ranks[..=tables.ranks.len()].to_vec();
        }
    }

    /// Up to which level a statement about this setting shows that it is no better; `of` is all of them.
    fn check(&self, stated: &Elsewhere, mine: &[i128], of: usize, reach: Reach) -> Result<usize, PlanError> {
        let tables = self.widest_tables().within(&self.stated_bests(stated), reach);
        let problem = tables.problem()?;
        let statement = problem.statement();
        match stated {
            Elsewhere::Nothing(_) | Elsewhere::Best { .. } if self.has_limits_beside() => Ok(0),
            Elsewhere::NothingBeside(_) | Elsewhere::BestBeside { .. } if tables.sides().is_empty() => Ok(0),
            Elsewhere::Unproven => Ok(0),
            Elsewhere::Nothing(reason) => {
                let alone = Statement { criteria: &statement.criteria[..=tables.before], ..statement };
                check_impossible(&alone, reason)?;
                Ok(of)
            }
            Elsewhere::NothingBeside(proof) => self.check_nothing_beside(proof).map(|()| of),
            Elsewhere::Best { parts, values, proof } => {
                let told = values.len().min(statement.criteria.len());
                let criteria = told_criteria(&statement, told, reach);
                let part = Statement { criteria: &criteria, ..statement };
                let checked = check_proof(&part, &tables.choice(parts), values, proof)?;
                Ok(self.holds_against(values, checked.levels, mine, (of, reach)))
            }
            Elsewhere::BestBeside { parts, values, proof } => {
                let checked = tables.check_best_beside((parts, values), proof, reach)?;
                Ok(self.holds_against(values, checked.levels, mine, (of, reach)))
            }
        }
    }

    /// Up to which level the best of this setting, of which so many levels are proven, leaves a plan with these losses
    /// the better one.
    fn holds_against(&self, values: &[i128], proven: usize, mine: &[i128], (of, reach): (usize, Reach)) -> usize {
        let theirs = self.losses(values);
        match reach.differs(&theirs, mine) {
            // Worse at a level that is proven here: nothing of this setting comes near.
            Some(level) if reach.is_worse(&theirs, mine) && level < proven => of,
            // Better at this level: at most what lies before it holds.
            Some(level) => level.min(proven),
            None if proven == of => of,
            None => proven,
        }
    }
}

/// The first criteria of a statement; of the last one nothing is given, as nothing comes after it, and of the aim only where
/// slacks count from the best of all settings.
pub(super) fn told_criteria<'a>(statement: &Statement<'a>, told: usize, reach: Reach) -> Vec<Criterion<'a>> {
    let slack = |at: usize, slack: i64| if reach.most.is_some() && at + 1 < told { slack } else { 0 };
    let told = statement.criteria[..told].iter().enumerate();
    told.map(|(at, criterion)| Criterion { slack: slack(at, criterion.slack), ..*criterion }).collect()
}

impl Search<'_> {
    /// What is within reach by what a certificate says.
    fn stated_reach(&self, own: usize, certificate: &Certificate) -> Reach {
        let layout = &self.layouts()[own];
        let others = self.layouts().iter().enumerate().filter(|(at, _)| *at != own).map(|(_, other)| other);
        let stated = others.zip(&certificate.elsewhere).map(|(other, stated)| other.stated_bests(stated));
        self.reach(std::iter::once(layout.proven_bests(&certificate.own_bests())).chain(stated))
    }
}

impl Certificate {
    /// The best values that the proof of the plan itself is about.
    fn own_bests(&self) -> Vec<i128> {
        self.beside.as_ref().map_or_else(|| bests(&self.proof), sided_bests)
    }
}

impl Layout<'_> {
    /// The tables that a certificate's own proof is about.
    fn stated_tables(&self, search: &Search<'_>, certificate: &Certificate, reach: Reach) -> Result<Tables, PlanError> {
        if search.layouts().len() == 1 {
            return self.tables.clone().giving_what_it_may(search.question);
        }
        // A plan of which it is only said that it is out of reach is gone over as it is.
        let mine = self.losses(&certificate.values).get(reach.aim).copied();
        let most = reach.most.map(|most| mine.map_or(most, |mine| most.max(mine)));
        Ok(self.tables.within(&self.proven_bests(&certificate.own_bests()), Reach { most, ..reach }))
    }
}

impl Tables {
    /// The proof that these values are the best with nothing beside the criteria; `None` where there is none, or where
    /// a plan that costs more than may be spent is better.
    fn proof_alone(&self, values: &[i128]) -> Result<Option<Proof>, PlanError> {
        let (outcome, evidence) = solve_with_proof(&self.problem()?);
        let (Outcome::Proven(solution) | Outcome::BestFound { solution, .. }, Evidence::Proof(proof)) =
            (outcome, evidence)
        else {
            return Ok(None);
        };
        Ok((self.spend.is_none() || solution.values == values).then_some(proof))
    }

    /// The columns of parts, one a position.
    pub(super) fn choice(&self, parts: &[usize]) -> Choice {
        Choice::new(parts.iter().map(|&part| self.item(part)).collect())
    }
}
