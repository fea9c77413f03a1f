//! What a refused plan means for the person who holds it, in words of the trade.

use pairwright_engine::plan::PlanError;
use pairwright_proof::{Fault, JointFault, JointProofFault, ParseError, SeveralFault};

use crate::plan_file::PlanFileError;

const TWICE: &str = "a part stands twice in the plan";
const BARRED: &str = "a part stands where the job does not let it stand, or breaks a limit there";
const WORTH: &str = "the plan is not worth what the file says: readings, sizes or the aim have changed since it was \
                     written, or the file was";
const OTHER: &str = "the proof is of another choice of parts, limits or settings than the job now has, or the file may be cut \
                     off";
const COUNT: &str = "the plan is for another number of positions or parts than the job now has";

/// Why a plan is refused: what happened first, the checker's own words behind it.
pub(super) fn refused(error: &PlanError) -> String {
    let checker = match error {
        PlanError::RefusedProof(JointProofFault::Choice(fault)) => PlanError::RefusedJoint(fault.clone()).to_string(),
        error => error.to_string(),
    };
    happened(error).map_or(checker.clone(), |happened| format!("{happened} ({checker})"))
}

/// What happened; `None` where the error says it itself.
const fn happened(error: &PlanError) -> Option<&'static str> {
    match error {
        PlanError::Refused(fault) => Some(of_tables(fault)),
        PlanError::RefusedJoint(fault) | PlanError::RefusedProof(JointProofFault::Choice(fault)) => {
            Some(of_joint(fault))
        }
        PlanError::RefusedBundles(fault) => Some(of_bundles(fault)),
        PlanError::RefusedProof(_) | PlanError::RefusedSeveral(_) => Some(OTHER),
        _ => None,
    }
}

const fn of_tables(fault: &Fault) -> &'static str {
    match fault {
        Fault::Twice { .. } => TWICE,
        Fault::Forbidden { .. }
        | Fault::NotForced { .. }
        | Fault::NotLeftOut { .. }
        | Fault::NotBroughtIn { .. }
        | Fault::Window { .. }
        | Fault::Side(_) => BARRED,
        Fault::Value { .. } => WORTH,
        Fault::Length { .. } | Fault::NoSlot { .. } => COUNT,
        _ => OTHER,
    }
}

const fn of_joint(fault: &JointFault) -> &'static str {
    match fault {
        JointFault::Twice { .. } => TWICE,
        JointFault::Forbidden { .. } | JointFault::Beside { .. } | JointFault::Unused { .. } => BARRED,
        JointFault::Value { .. } => WORTH,
        JointFault::Length { .. } => COUNT,
        _ => OTHER,
    }
}

const fn of_bundles(fault: &SeveralFault) -> &'static str {
    match fault {
        SeveralFault::Twice { .. } => TWICE,
        SeveralFault::Forbidden { .. } | SeveralFault::Limit { .. } => BARRED,
        SeveralFault::Value { .. } => WORTH,
        SeveralFault::Length { .. } | SeveralFault::Size { .. } | SeveralFault::NoItem { .. } => COUNT,
        _ => OTHER,
    }
}

/// What to add to an error at the end of a text: it may be cut off.
pub(super) fn cut_off(error: &PlanFileError, text: &str) -> &'static str {
    let last = text.lines().count();
    let ends = match error {
        PlanFileError::Line { line, .. } => *line >= last && *line > 1,
        PlanFileError::Proof { source: ParseError::End { .. }, .. } => true,
        // Lines of a proof count from its first.
        PlanFileError::Proof { line, source: ParseError::Line { line: within, .. } } => line + within > last,
        PlanFileError::Proof { .. } => false,
    };
    if ends { "; the file ends there and may be cut off" } else { "" }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_happened_stands_before_the_words_of_the_checker() {
        let value = JointFault::Value { claimed: 8421, actual: 12303 };
        let said = refused(&PlanError::RefusedProof(JointProofFault::Choice(value)));
        assert!(said.starts_with("the plan is not worth what the file says: readings, sizes"), "{said}");
        assert!(said.ends_with("(the checker refuses the joint plan: the choice is worth 12303, not 8421)"), "{said}");
        let said = refused(&PlanError::RefusedProof(JointProofFault::Outers { expected: 828, found: 816 }));
        assert!(said.starts_with("the proof is of another choice of parts, limits or settings"), "{said}");
        assert!(said.ends_with("816 entries stand for 828 outer choices)"), "{said}");
        let said = refused(&PlanError::NoSetting);
        assert!(said.contains("have changed since it was written") && !said.contains("heads"), "{said}");
    }
}
