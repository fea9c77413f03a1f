//! Why a match has no plan, and the going over of that.

use pairwright_assign::sides::{SidedOutcome, SidedProblem, solve_sided_with_proof};
use pairwright_assign::{Budget, Evidence, JointProblem, prove_joint_impossible, solve_with_proof};
use pairwright_proof::{
    JointProof, JointProofFault, Refutation, SeveralProof, SidedProof, check_impossible, check_joint_impossible,
    check_sided_impossible,
};

use super::choose::PlanError;
use super::joint::Joint;
use super::likeness::Likeness;
use super::outers::Dressed;
use super::pieces::Left;
use super::question::Question;
use super::report::LimitKind;
use super::search::{Asked, Layout, Search};
use crate::job::Job;
use crate::quantity::Amount;

/// Nodes that the proof for two roles may take.
const EFFORT: u64 = 4_000_000;

/// What it takes to see that a match has no plan, without solving anything.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct NoPlan {
    /// What was asked for.
    pub stated: Stated,
    /// Why nothing fulfils it.
    pub why: WhyNone,
}

/// What was asked for, as far as it can be said in a few lines; readings and columns stand in the job.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Stated {
    /// How many positions have to be served.
    pub positions: usize,
    /// Of every role that the match places how many parts the stock has, those left out that earlier matches took.
    pub parts: Vec<usize>,
    /// In how many ways heads and gaskets can be set; 1 where none are placed.
    pub settings: usize,
    /// The most that may be spent, in hundredths of the currency.
    pub spend: Option<i64>,
    /// The limits.
    pub limits: Vec<StatedLimit>,
}

/// A limit that was asked for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StatedLimit {
    /// The name of the fit.
    pub fit: String,
    /// Which bound.
    pub kind: LimitKind,
    /// Whether the uncertainty counts.
    pub guard: bool,
    /// The bound in ticks for every position; of a spread, or between neighbours, a single one.
    pub bounds: Vec<Option<i64>>,
}

/// Why nothing fulfils what was asked for.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum WhyNone {
    /// For every setting of heads and gaskets, in their order.
    BySetting(Vec<Nothing>),
    /// Where two roles are placed together: for all settings at once.
    Jointly(JointProof),
    /// Where a position takes several parts of one kind.
    Severally(SeveralProof),
    /// No proof was found: the search alone says so.
    #[default]
    Unproven,
}

/// Why a setting has no plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Nothing {
    /// By what may go where and limits on spreads alone.
    Alone(Refutation),
    /// With the limits on neighbours, or on what is spent.
    Beside(SidedProof),
    /// No proof was found.
    Unproven,
}

/// How far a checked proof reaches that there is no plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RuledOut {
    /// So many settings of heads and gaskets have none.
    pub settings: usize,
    /// The number of settings; 1 where none are placed.
    pub of: usize,
}

impl RuledOut {
    /// Whether no setting is left open.
    #[must_use]
    pub const fn is_all(self) -> bool {
        self.settings == self.of
    }
}

impl NoPlan {
    /// For how many settings it gives a reason, good or bad.
    #[must_use]
    pub fn reach(&self) -> RuledOut {
        let of = self.stated.settings;
        let settings = match &self.why {
            WhyNone::BySetting(all) => all.iter().filter(|one| **one != Nothing::Unproven).count(),
            WhyNone::Jointly(_) | WhyNone::Severally(_) => of,
            WhyNone::Unproven => 0,
        };
        RuledOut { settings, of }
    }
}

impl Stated {
    fn of(search: &Search<'_>) -> Self {
        let question = search.question;
        let left = |role: usize| {
            let parts = 0..question.stocks[role].parts.len();
            parts.filter(|&part| question.taken(role, part) == 0).count()
        };
        Self {
            positions: question.positions.len(),
            parts: (0..question.matching.place.len()).map(left).collect(),
            settings: search.settings().len(),
            spend: question.matching.buying.spend.map(Amount::ticks),
            limits: limits(question.job, question),
        }
    }
}

fn limits(job: &Job, question: &Question<'_>) -> Vec<StatedLimit> {
    let stated = question.limits.iter().map(|limit| StatedLimit {
        fit: job.fits.name(limit.fit).to_owned(),
        kind: limit.kind,
        guard: limit.guard,
        bounds: limit.bounds.clone(),
    });
    stated.collect()
}

impl Search<'_> {
    /// Why there is no plan, as far as proofs are found.
    pub(super) fn no_plan(&self) -> Result<NoPlan, PlanError> {
        let why = if let Some(joint) = self.joint() {
            joint.none_at_all()?.map_or(WhyNone::Unproven, WhyNone::Jointly)
        } else if let Some(several) = self.several() {
            several.none_at_all()?.map_or(WhyNone::Unproven, WhyNone::Severally)
        } else {
            let all = self.layouts().iter().map(|layout| layout.nothing());
            WhyNone::BySetting(all.collect::<Result<_, PlanError>>()?)
        };
        Ok(NoPlan { stated: Stated::of(self), why })
    }

    /// Goes over why there is no plan; nothing is solved.
    ///
    /// # Errors
    /// [`PlanError`] with what is wrong.
    pub(crate) fn check_no_plan(&self, none: &NoPlan) -> Result<RuledOut, PlanError> {
        if none.stated != Stated::of(self) {
            return Err(PlanError::Stated);
        }
        match (&none.why, self.joint(), self.several()) {
            (WhyNone::Unproven, ..) => {}
            (WhyNone::Jointly(proof), Some(joint), _) => joint.check_none_at_all(proof)?,
            (WhyNone::Severally(proof), None, Some(several)) => several.check_none_at_all(proof)?,
            (WhyNone::BySetting(all), None, None) if all.len() == self.layouts().len() => {
                self.layouts().iter().zip(all).try_for_each(|(layout, nothing)| layout.check_nothing(nothing))?;
            }
            _ => return Err(PlanError::OtherProof),
        }
        Ok(none.reach())
    }
}

impl Layout<'_> {
    /// Why this setting has no plan.
    fn nothing(&self) -> Result<Nothing, PlanError> {
        if self.bound.is_some() {
            // By the widest guard band only: there are plans by the narrowest.
            return Ok(Nothing::Unproven);
        }
        let tables = self.tables.aim_alone();
        let problem = tables.problem()?;
        if let (_, Evidence::Impossible(reason)) = solve_with_proof(&problem) {
            return Ok(Nothing::Alone(reason));
        }
        let sides = tables.sides();
        if sides.is_empty() {
            return Ok(Nothing::Unproven);
        }
        Ok(match solve_sided_with_proof(&SidedProblem::new(problem.clone(), sides)?) {
            (SidedOutcome::Impossible(_), Some(proof)) => Nothing::Beside(proof),
            _ => Nothing::Unproven,
        })
    }

    fn check_nothing(&self, nothing: &Nothing) -> Result<(), PlanError> {
        if *nothing != Nothing::Unproven && self.bound.is_some() {
            return Err(PlanError::OtherProof);
        }
        let tables = self.tables.aim_alone();
        let problem = tables.problem()?;
        match nothing {
            Nothing::Alone(reason) => Ok(check_impossible(&problem.statement(), reason)?),
            Nothing::Beside(proof) => Ok(check_sided_impossible(&problem.statement(), &tables.sides(), proof)?),
            Nothing::Unproven => Ok(()),
        }
    }
}

impl Joint<'_> {
    /// Why no two assignments under any setting hold every limit; `None` where no proof is found.
    fn none_at_all(&self) -> Result<Option<JointProof>, PlanError> {
        let prove = |problem: &JointProblem<'_>| Ok(prove_joint_impossible(problem, &Budget::nodes(EFFORT)).ok());
        if self.spend.is_some() {
            let proof = self.left_to_rule_out()?.posed(self.before, |problem| prove(&problem))?;
            return Ok(proof.unwrap_or(Some(JointProof { outers: Vec::new() })));
        }
        let proof = self.posed(Asked::default(), &self.apart_by_what_they_allow(), prove)?;
        Ok(proof.unwrap_or(Some(JointProof { outers: Vec::new() })))
    }

    fn check_none_at_all(&self, proof: &JointProof) -> Result<(), PlanError> {
        let check = |problem: &JointProblem<'_>| Ok(check_joint_impossible(problem.statement(), None, proof)?);
        let checked = match self.spend {
            Some(_) => self.left_to_rule_out()?.posed(self.before, |problem| check(&problem))?,
            None => self.posed(Asked::default(), &self.apart_by_what_they_allow(), check)?,
        };
        match checked {
            None if !proof.outers.is_empty() => {
                Err(JointProofFault::Outers { expected: 0, found: proof.outers.len() }.into())
            }
            // Nothing can be set at all, or no stretch of a limited spread has a part for every position.
            None | Some(()) => Ok(()),
        }
    }

    /// What costs no more than may be spent.
    fn left_to_rule_out(&self) -> Result<Left<'_, '_>, PlanError> {
        let mut left = self.left_for_proofs()?;
        left.without_like_pieces(self.before);
        Ok(left)
    }

    /// The outer choices, without those that allow nothing but what another allows.
    fn apart_by_what_they_allow(&self) -> Vec<Dressed> {
        let all = &self.every;
        if !self.is_settled() {
            return all.clone();
        }
        let cells = |outer: usize| all[outer].open.numbers().map(|number| (number, Some(0)));
        let likeness = Likeness::of(all.len(), cells, |outer, number| all[outer].open.has(number).then_some(0));
        likeness.fewest(&(0..all.len()).collect::<Vec<_>>()).into_iter().map(|at| all[at].clone()).collect()
    }
}
