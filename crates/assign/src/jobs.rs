//! How many random jobs a test tries.

/// As many as the environment says in `RANDOM_JOBS`, else the usual number.
pub(crate) fn jobs(usual: u32) -> u32 {
    std::env::var("RANDOM_JOBS").map_or(usual, |jobs| jobs.parse().expect("RANDOM_JOBS is a number"))
}
