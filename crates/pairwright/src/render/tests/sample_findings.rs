//! Invented reports on readings.

use pairwright_engine::readings::{BankId, Finding, PartId, PositionId, Repeatability, Source, Tie, Untied};
use pairwright_engine::reduction::ReadingsReport;
use pairwright_engine::statistics::Dof;

use super::sample::tenths;

fn repeatability(source: Source) -> Repeatability {
    let dof = Dof::new(14.0).unwrap();
    Repeatability { s: 10_400.0, as_read: 11_000.0, dof, source, residual: None, lack_of_fit: None }
}

/// Nothing to look at again.
pub(super) fn quiet() -> ReadingsReport {
    ReadingsReport {
        readings: 8,
        used: 8,
        repeatability: repeatability(Source::Stated),
        resolution: tenths(5) as f64,
        resolution_from_decimals: true,
        findings: Vec::new(),
        untied: None,
    }
}

/// Every finding there is.
pub(super) fn telling() -> ReadingsReport {
    let nm = |number: i64| tenths(number) as f64;
    let findings = vec![
        Finding::Outlier { line: 5, value: nm(-50), expected: nm(12), others: 6, t: 5.2, p: 0.003 },
        Finding::Outlier { line: 77, value: nm(-50), expected: nm(-12), others: 1, t: 4.2, p: 0.02 },
        Finding::PairDisagrees { lines: [2, 3], apart: nm(31), p: 0.01 },
        Finding::CircleDisagrees { lines: vec![4, 5, 6, 7], off: nm(24), p: 0.01 },
        Finding::LackOfFit {
            f: 6.1,
            p: 0.0001,
            part: PartId::new(2),
            position: PositionId::new(0),
            lines: vec![8],
            off: nm(9),
        },
        Finding::ScatterAboveStated { found: nm(9), stated: nm(4), p: 0.014 },
        Finding::AllEqual { readings: 8, value: nm(-60) },
        Finding::UnevenSpots { lines: vec![6], apart: Some(nm(7)) },
        Finding::UnevenSpots { lines: vec![6, 7], apart: None },
        Finding::LineNotDrawn { bank: BankId::new(1), measured: 1, needed: 3 },
        Finding::Unchecked { lines: vec![6] },
        Finding::Unchecked { lines: vec![4, 5, 6, 7, 8, 10] },
        Finding::LeftOut { line: 9, value: nm(-90), expected: Some(nm(-61)) },
        Finding::LeftOut { line: 9, value: nm(-90), expected: None },
    ];
    ReadingsReport {
        used: 7,
        repeatability: repeatability(Source::Pooled),
        resolution_from_decimals: false,
        findings,
        untied: Some(Untied {
            pairs: 9,
            parts: vec![PartId::new(4), PartId::new(5)],
            positions: vec![PositionId::new(3)],
            ties: vec![
                Tie { part: PartId::new(0), position: PositionId::new(3) },
                Tie { part: PartId::new(4), position: PositionId::new(0) },
            ],
        }),
        ..quiet()
    }
}

/// Every origin of the repeatability.
pub(super) fn of_every_source() -> Vec<ReadingsReport> {
    [Source::Residuals, Source::Stated, Source::Pooled, Source::ResolutionOnly, Source::Nothing]
        .map(|source| ReadingsReport { repeatability: repeatability(source), ..quiet() })
        .to_vec()
}
