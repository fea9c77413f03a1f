//! Why a search ended without a proof, in words.

use pairwright_engine::plan::Stopped;

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
