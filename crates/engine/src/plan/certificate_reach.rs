//! How far a plan's aim may be from the best where the aim gives something and there are several settings: the slack counts from
//! the best of all settings, which their proofs say.

use pairwright_proof::{Proof, SidedProof};

use super::certificate::Elsewhere;
use super::choose::PlanError;
use super::search::{Layout, Search, slack};
use super::tables::Tables;

/// What losses by the aim are within reach of the best of all settings: none but the plan's own where the aim gives nothing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reach {
    /// Greatest loss that may still be the plan's, where the aim gives something.
    pub(super) most: Option<i128>,
    /// Where the aim stands among the criteria.
    pub(super) aim: usize,
}

impl Reach {
    /// Where the losses of the best of a setting, as far as they go, differ from a plan's: those of the aim only where they
    /// are out of reach, as a slack makes the others as good as the plan's.
    pub(super) fn differs(self, theirs: &[i128], mine: &[i128]) -> Option<usize> {
        let differs = |at: usize| match self.most {
            Some(most) if at == self.aim => theirs[at] > most,
            _ => theirs[at] != mine[at],
        };
        (0..theirs.len().min(mine.len())).find(|&at| differs(at))
    }

    /// Whether the best of a setting, of which these are the first losses, is worse than a plan.
    pub(super) fn is_worse(self, theirs: &[i128], mine: &[i128]) -> bool {
        self.differs(theirs, mine).is_some_and(|at| theirs[at] > mine[at] || at == self.aim && self.most.is_some())
    }
}

impl Tables {
    /// The same tables, the aim giving so much that what is within reach is left, where the losses of the best up to the aim
    /// are these.
    pub(super) fn within(&self, bests: &[i128], reach: Reach) -> Self {
        match (reach.most, bests.get(reach.aim)) {
            (Some(most), Some(best)) => self.clone().giving((most - best).max(0)),
            _ => self.clone(),
        }
    }
}

impl Search<'_> {
    /// What is within reach, from the losses of the best of every setting up to the aim.
    pub(super) fn reach(&self, bests: impl IntoIterator<Item = Vec<i128>>) -> Reach {
        let aim = self.question.matching.buying.first.len();
        let gives = self.question.matching.aim.slack.is_some() && self.layouts().len() > 1;
        let best = bests.into_iter().filter(|best| gives && best.len() > aim).min();
        let best = best.map(|best| best[aim]);
        let most = best.map(|best| best + i128::from(slack(self.question, &self.layouts()[0].tables, best)));
        Reach { most, aim }
    }

    /// The same by solving.
    pub(super) fn found_reach(&self) -> Result<Reach, PlanError> {
        if self.question.matching.aim.slack.is_none() || self.layouts().len() < 2 {
            return Ok(self.reach([]));
        }
        let bests = self.layouts().iter().map(|layout| layout.best_up_to_the_aim());
        let bests: Vec<Option<Vec<i128>>> = bests.collect::<Result<_, _>>()?;
        Ok(self.reach(bests.into_iter().flatten()))
    }
}

impl Layout<'_> {
    /// The tables in which another plan's setting is shown to be no better: all that could hold the limits is in them.
    pub(super) fn widest_tables(&self) -> &Tables {
        self.bound.as_ref().unwrap_or(&self.tables)
    }

    fn best_up_to_the_aim(&self) -> Result<Option<Vec<i128>>, PlanError> {
        let tables = self.widest_tables().up_to_the_aim();
        Ok(tables.answer(&tables.problem()?)?.chosen().map(|chosen| self.losses(&chosen.values)))
    }

    /// The losses up to the aim that are the best by a proof of so many levels; fewer where it ends before.
    pub(super) fn proven_bests(&self, bests: &[i128]) -> Vec<i128> {
        self.losses(&bests[..bests.len().min(self.tables.before + 1)])
    }

    /// What a statement about this setting says that its best is up to the aim; shorter where it does not go so far.
    pub(super) fn stated_bests(&self, stated: &Elsewhere) -> Vec<i128> {
        match stated {
            Elsewhere::Best { proof, .. } => self.proven_bests(&bests(proof)),
            Elsewhere::BestBeside { proof, .. } => self.proven_bests(&sided_bests(proof)),
            Elsewhere::Nothing(_) | Elsewhere::NothingBeside(_) | Elsewhere::Unproven => Vec::new(),
        }
    }
}

/// The best values that a proof is about, level by level.
pub(super) fn bests(proof: &Proof) -> Vec<i128> {
    proof.levels.iter().map(|level| level.best).collect()
}

/// The same of one with side conditions.
pub(super) fn sided_bests(proof: &SidedProof) -> Vec<i128> {
    match proof {
        SidedProof::Levels(levels) => levels.iter().map(|level| level.best).collect(),
        SidedProof::Impossible(_) => Vec::new(),
    }
}
