//! The section of a match that has no plan: what was asked for, and why nothing fulfils it.

use std::fmt::Write as _;

use pairwright_engine::job::{Bounding, Job, Matching};
use pairwright_engine::plan::{LimitKind, NoPlan, Nothing, Stated, StatedLimit, WhyNone};
use pairwright_proof::{parse_several_proof, write_joint_proof, write_several_proof, write_sided_proof};

use super::{FIRST_LINE, JOINT, Lines, NOTHING, NOTHING_BESIDE, PlanFileError, SEVERAL, UNPROVEN, nothing};

/// Begins what a section says instead of a plan.
pub(super) const NO_PLAN: &str = "no plan";
const NO_PROOF: &str = "no proof";
const SETTINGS: &str = "settings ";
const SPEND: &str = "spend ";
const LIMIT: &str = "limit ";
const GUARDED: &str = "guarded";
const PLAIN: &str = "plain";
const NONE: &str = "-";

/// Writes the section; `None` for a match of another job.
pub(super) fn section(job: &Job, matching: &Matching, none: &NoPlan) -> Option<String> {
    let mut text = format!("{FIRST_LINE}\nmatch {}\n{NO_PLAN}\n", matching.name);
    let Stated { positions, parts, settings, spend, limits } = &none.stated;
    let _ = writeln!(text, "{} {positions}", job.positions_of(matching)?.kind);
    for (role, count) in matching.place.iter().zip(parts) {
        let _ = writeln!(text, "{} {count}", role.name);
    }
    let _ = writeln!(text, "{SETTINGS}{settings}");
    if let Some(most) = spend {
        let _ = writeln!(text, "{SPEND}{most}");
    }
    for limit in limits {
        let bounds = limit.bounds.iter().fold(String::new(), |text, bound| {
            text + " " + &bound.map_or_else(|| NONE.to_owned(), |bound| bound.to_string())
        });
        let guard = if limit.guard { GUARDED } else { PLAIN };
        let _ = writeln!(text, "{LIMIT}{} {guard}{bounds} of {}", kind(limit.kind), limit.fit);
    }
    match &none.why {
        WhyNone::BySetting(all) => {
            for one in all {
                match one {
                    Nothing::Alone(reason) => text.push_str(&nothing(reason)),
                    Nothing::Beside(proof) => {
                        let _ = write!(text, "{NOTHING_BESIDE}\n{}", write_sided_proof(proof));
                    }
                    Nothing::Unproven => {
                        let _ = writeln!(text, "{UNPROVEN}");
                    }
                }
            }
        }
        WhyNone::Jointly(proof) => {
            let _ = write!(text, "{JOINT}\n{}", write_joint_proof(proof));
        }
        WhyNone::Severally(proof) => {
            let _ = write!(text, "{SEVERAL}\n{}", write_several_proof(proof));
        }
        WhyNone::Unproven => {
            let _ = writeln!(text, "{NO_PROOF}");
        }
    }
    Some(text)
}

const fn kind(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::Side(Bounding::Min) => "min",
        LimitKind::Side(Bounding::Max) => "max",
        LimitKind::Spread => "spread",
        LimitKind::Neighbours => "neighbours",
    }
}

impl Lines<'_> {
    /// What follows the line that says that there is no plan.
    pub(super) fn no_plan(&mut self, job: &Job, asked: &Matching) -> Result<NoPlan, PlanFileError> {
        Ok(NoPlan { stated: self.stated(job, asked)?, why: self.why_none()? })
    }

    fn stated(&mut self, job: &Job, asked: &Matching) -> Result<Stated, PlanFileError> {
        let kind = job.positions_of(asked).map_or("", |positions| positions.kind.as_str());
        let positions = self.count(kind)?;
        let parts = asked.place.iter().map(|role| self.count(&role.name)).collect::<Result<_, _>>()?;
        let settings = self.count(SETTINGS.trim_end())?;
        let states_spend = self.all.get(self.at).is_some_and(|line| line.starts_with(SPEND));
        let most = |line: &str| line.strip_prefix(SPEND)?.parse().ok();
        let spend = if states_spend { Some(self.take("`spend` and a sum in hundredths", most)?) } else { None };
        let mut limits = Vec::new();
        while self.all.get(self.at).is_some_and(|line| line.starts_with(LIMIT)) {
            limits.push(self.take("a limit", limit)?);
        }
        Ok(Stated { positions, parts, settings, spend, limits })
    }

    /// How many there are of something.
    fn count(&mut self, of: &str) -> Result<usize, PlanFileError> {
        let number = |line: &str| line.strip_prefix(of)?.strip_prefix(' ')?.parse().ok();
        self.take(&format!("`{of}` and how many there are"), number)
    }

    fn why_none(&mut self) -> Result<WhyNone, PlanFileError> {
        let first = self.all.get(self.at).copied();
        if let Some(NO_PROOF | JOINT | SEVERAL) = first {
            self.at += 1;
        }
        Ok(match first {
            Some(NO_PROOF) => WhyNone::Unproven,
            Some(JOINT) => WhyNone::Jointly(self.joint_proof()?),
            Some(SEVERAL) => {
                let (start, text) = self.block();
                let proof = parse_several_proof(&text);
                WhyNone::Severally(proof.map_err(|source| PlanFileError::Proof { line: start + 1, source })?)
            }
            _ => {
                let mut all = Vec::new();
                while let Some(one) = self.nothing()? {
                    all.push(one);
                }
                WhyNone::BySetting(all)
            }
        })
    }

    /// Why one setting has no plan; `None` where something else follows.
    fn nothing(&mut self) -> Result<Option<Nothing>, PlanFileError> {
        let first = self.all.get(self.at).copied();
        if let Some(UNPROVEN | NOTHING | NOTHING_BESIDE) = first {
            self.at += 1;
        }
        Ok(match first {
            Some(UNPROVEN) => Some(Nothing::Unproven),
            Some(NOTHING) => Some(self.reason()?.map_or(Nothing::Unproven, Nothing::Alone)),
            Some(NOTHING_BESIDE) => Some(Nothing::Beside(self.sided_proof()?)),
            _ => None,
        })
    }
}

/// `limit min guarded 100 - 120 of deck`
fn limit(line: &str) -> Option<StatedLimit> {
    let (words, fit) = line.strip_prefix(LIMIT)?.split_once(" of ")?;
    let mut words = words.split(' ');
    let kind = match words.next()? {
        "min" => LimitKind::Side(Bounding::Min),
        "max" => LimitKind::Side(Bounding::Max),
        "spread" => LimitKind::Spread,
        "neighbours" => LimitKind::Neighbours,
        _ => return None,
    };
    let guard = match words.next()? {
        GUARDED => true,
        PLAIN => false,
        _ => return None,
    };
    let bound = |word: &str| if word == NONE { Some(None) } else { word.parse().ok().map(Some) };
    let bounds = words.map(bound).collect::<Option<_>>()?;
    Some(StatedLimit { fit: fit.to_owned(), kind, guard, bounds })
}
