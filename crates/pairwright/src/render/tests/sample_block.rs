//! Jobs of a whole block that only JSON and CSV are asked about.

use pairwright_engine::job::{Job, Role};
use pairwright_engine::outcome::{JobReport, match_job};
use pairwright_engine::readings::{Finding, Source};
use pairwright_engine::statistics::Dof;

use super::sample_heads;

fn matched(job: Job) -> (Job, JobReport) {
    let report = match_job(&job, None).expect("the job can be matched");
    (job, report)
}

/// Heads and gasket only: pistons and rods stay where they stand.
pub(super) fn heads_only() -> (Job, JobReport) {
    let mut job = sample_heads::job();
    job.matches[0].place = ["head", "gasket"].map(Role::of).to_vec();
    job.matches[0].limits.clear();
    matched(job)
}

/// Pistons that each belong to a rod, which is placed with them.
pub(super) fn mated() -> (Job, JobReport) {
    let mut job = sample_heads::job();
    for (piston, rod) in job.stocks[0].parts.iter_mut().zip(["R2", "R1", "R3", "R5", "R4"]) {
        piston.with = Some(rod.to_owned());
    }
    job.matches[0].limits.clear();
    matched(job)
}

/// A plan of every kind with every finding about the pours.
pub(super) fn poured() -> (Job, JobReport) {
    let (mut job, mut report) = sample_heads::planned();
    let cc = |hundredths: i32| f64::from(hundredths) * 10_000.0;
    if let (Some(pours), Some(last)) = (&mut report.pours, job.chambers.as_mut().and_then(|all| all.rows.last_mut())) {
        last.leave_out = true;
        pours.used = pours.readings - 1;
        pours.repeatability.source = Source::ResolutionOnly;
        (pours.repeatability.s, pours.repeatability.as_read) = (37_000.0, 40_000.0);
        pours.repeatability.dof = Dof::INFINITE;
        pours.findings = vec![
            Finding::Outlier { line: 13, value: cc(6_564), expected: cc(6_406), others: 17, t: 6.5, p: 0.002 },
            Finding::PairDisagrees { lines: [2, 3], apart: cc(40), p: 0.01 },
            Finding::ScatterAboveStated { found: cc(30), stated: cc(10), p: 0.003 },
            Finding::AllEqual { readings: 18, value: cc(6_400) },
            Finding::Unchecked { lines: vec![5] },
            Finding::Unchecked { lines: vec![2, 5] },
            Finding::LeftOut { line: last.line, value: cc(6_423), expected: Some(cc(6_418)) },
            Finding::LeftOut { line: last.line, value: cc(6_423), expected: None },
            Finding::CircleDisagrees { lines: vec![2, 99], off: cc(3), p: 0.01 },
        ];
    }
    (job, report)
}

/// All of them by name, those of the text included.
pub(super) fn all() -> Vec<(&'static str, Job, JobReport)> {
    [
        ("heads", sample_heads::planned()),
        ("a gasket a bank", sample_heads::a_gasket_a_bank()),
        ("heads impossible", sample_heads::impossible()),
        ("heads only", heads_only()),
        ("mated", mated()),
        ("poured", poured()),
    ]
    .map(|(name, (job, report))| (name, job, report))
    .into()
}
