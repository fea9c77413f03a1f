//! Why a search ended without a proof, in words.

use pairwright_engine::plan::Stopped;

/// What is known of a match whose search ended without a plan.
pub(crate) const NOT_FOUND: &str = "the search looked at as many partial plans as it may and found no plan within the \
                                    limits. There may be one all the same: keep some parts where they are, or widen a \
                                    limit, and ask again.";

/// The reason as it fits into brackets.
pub(crate) const fn reason(stopped: Stopped) -> &'static str {
    match stopped {
        Stopped::EffortSpent => "the search had looked at as many partial plans as it may",
        Stopped::WidestBand => {
            "a limit on a spread was held with the widest guard band of any two placements; another plan might hold it \
             by its own"
        }
        Stopped::NoProof => "no proof was found that the checker could follow",
        Stopped::Otherwise => "the search ended early",
    }
}
