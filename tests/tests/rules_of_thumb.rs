//! Rules of the trade that a sound method must reproduce. Common practice, no source.

use pairwright_engine::outcome::{Outcome, match_job};
use pairwright_tests::build;

/// The low piston in the high hole makes the block more even (common practice, no source): with two
/// holes and two pistons the plan never puts high with high.
#[test]
fn the_low_piston_goes_into_the_high_hole() {
    for (high_hole, high_piston) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
        let effect = |is_high: bool| if is_high { 100_000 } else { 0 };
        let reading = |hole: usize, piston: usize| effect(hole == high_hole) + effect(piston == high_piston);
        let rows = [(0, 0, reading(0, 0)), (1, 0, reading(1, 0)), (0, 1, reading(0, 1))];
        let mut job = build::job(2, 2);
        job.deck = Some(build::readings(&rows));
        let report = match_job(&job, None).expect("the checker accepts the answer");
        let Outcome::Planned(planned) = &report.matches[0].outcome else { panic!("a plan") };
        assert_ne!(planned.plan.placements[high_hole].parts, vec![high_piston]);
        assert_eq!(planned.plan.summary.spread, 0);
    }
}
