//! Why this plan: every statement is computed from a re-solve, a draw or a count.

mod report;

pub use report::{
    Alternative, AsFound, Explanation, FlaggedOut, ForcedIn, Gain, Immovable, OtherPlan, Price, RunnerUp, SpreadEnds,
    Step,
};
