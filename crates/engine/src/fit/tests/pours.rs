//! Pours as readings: pooled, bounded by the step, and looked over.

use super::build::first;
use super::build::{ask, cc, sign_job};
use crate::job::FitName::ClearanceVolume;
use crate::job::{ChamberReading, ChamberReadings, Job};
use crate::quantity::{Amount, Unit};
use crate::readings::{Finding, ReduceError};
use crate::reduction::{ChamberOf, ChamberReduction};

/// Pours of the chambers of one head, in tenths of a cc, from line 2 on.
fn poured(pours: &[(usize, i64)]) -> Job {
    let mut job = sign_job(0);
    let row = |((chamber, tenths), line): (&(usize, i64), u32)| ChamberReading {
        head: 0,
        chamber: *chamber,
        value: cc(*tenths),
        leave_out: false,
        line,
    };
    let rows = pours.iter().zip(2..).map(row).collect();
    job.chambers = Some(ChamberReadings { rows, ..ChamberReadings::default() });
    job
}

#[test]
fn equal_pours_are_no_surer_than_the_step() {
    let job = poured(&[(0, 614), (0, 614), (0, 614), (0, 614)]);
    let chamber = ChamberReduction::new(&job).unwrap().unwrap().chamber(0, 0).unwrap();
    assert!((chamber.value - 61_400_000.0).abs() < 1e-6);
    assert!((chamber.u - 100_000.0 / 12.0_f64.sqrt()).abs() < 1e-6, "{}", chamber.u);
}

#[test]
fn the_scatter_is_pooled_over_chambers_with_the_stated_one() {
    let mut job = poured(&[(0, 610), (0, 614), (1, 620), (1, 620), (1, 620)]);
    let pours = job.chambers.as_mut().unwrap();
    pours.repeatability = Some(cc(2));
    pours.resolution = Some(Amount::new(1, Unit::CubicCentimetre, 6));
    let reduced = ChamberReduction::new(&job).unwrap().unwrap();
    // (10 · 0.2² + 0.08) / 13 with 1 + 2 degrees of freedom from the repeats.
    let s = (0.48_f64 / 13.0).sqrt();
    for (chamber, n) in [(0, 2.0), (1, 3.0_f64)] {
        let found = reduced.chamber(0, chamber).unwrap();
        assert!((found.u / 1e6 - s / n.sqrt()).abs() < 1e-6, "{}", found.u);
        assert!((found.dof.value() - 13.0).abs() < 1e-9);
    }
    assert_eq!((reduced.report().readings, reduced.report().used), (5, 5));
    assert_eq!(reduced.chamber(0, 2), None);
    assert_eq!(reduced.chamber(1, 0), None);
}

#[test]
fn a_wild_pour_is_named_by_its_line_and_its_chamber() {
    let pours = [(0, 610), (0, 611), (0, 610), (1, 612), (1, 611), (1, 612), (1, 690), (0, 611)];
    let reduced = ChamberReduction::new(&poured(&pours)).unwrap().unwrap();
    let odd: Vec<u32> = reduced
        .report()
        .findings
        .iter()
        .filter_map(|finding| if let Finding::Outlier { line, .. } = finding { Some(*line) } else { None })
        .collect();
    assert_eq!(odd, [8]);
    let without = ChamberReduction::without(&poured(&pours), &[8]).unwrap().unwrap();
    assert_eq!(without.report().used, 7);
    assert!(without.report().repeatability.s < 0.1 * reduced.report().repeatability.s);
    assert_eq!(reduced.chamber_of(crate::readings::PartId::new(1)), ChamberOf { head: 0, chamber: 1 });
}

#[test]
fn a_pour_of_no_chamber_is_refused() {
    for (head, chamber) in [(1, 0), (0, 64), (0, usize::MAX)] {
        let mut job = poured(&[(0, 610), (0, 611)]);
        let row = &mut job.chambers.as_mut().unwrap().rows[1];
        (row.head, row.chamber) = (head, chamber);
        let refused = ChamberReduction::new(&job).unwrap_err();
        assert!(matches!(refused, ReduceError::UnknownPart { line: 3, .. }), "{refused}");
    }
}

/// The pours' few degrees of freedom, diluted by what is typed.
#[test]
fn degrees_of_freedom_go_through() {
    let job = poured(&[(0, 610), (0, 630), (0, 614)]);
    let doubt = ask(&job, ClearanceVolume, |fit| fit.doubt(first(0)).unwrap());
    assert!((2.0..2.2).contains(&doubt.dof.value()), "{doubt:?}");
}
