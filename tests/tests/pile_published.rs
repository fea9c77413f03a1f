//! What the normal model of a pile expects, against printed expected values of normal order statistics.
//! Figures: `datasets/outside/statistics/normal_order_statistics.csv`.

use pairwright_engine::pile::{Drawing, How, Line, NormalSample, Numbers, Pile, Population, Sought};
use std::path::Path;

/// Largest of n = 2 to 20: Harter, Biometrika 48 (1961) 151-165, Table 1, five decimals (read in a public program that cites the table).
const HARTER: [f64; 19] = [
    0.56419, 0.84628, 1.02938, 1.16296, 1.26721, 1.35218, 1.42360, 1.48501, 1.53875, 1.58644, 1.62923, 1.66799,
    1.70338, 1.73591, 1.76599, 1.79394, 1.82003, 1.84448, 1.86748,
];

#[test]
fn the_largest_of_a_sample_is_harters() {
    for (count, printed) in (2..).zip(HARTER) {
        let found = NormalSample::of(count).largest(1)[0];
        assert!((found - printed).abs() < 0.000_005_1, "largest of {count}: {found}, printed {printed}");
    }
}

#[test]
fn every_rank_is_the_one_computed_elsewhere() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let file = root.join("../datasets/outside/statistics/normal_order_statistics.csv");
    let mut rows = csv::Reader::from_path(file).unwrap();
    let mut checked = 0;
    for row in rows.deserialize() {
        let (count, from_smallest, expected): (usize, usize, f64) = row.unwrap();
        let found = NormalSample::of(count).largest(count)[count - from_smallest];
        assert!((found - expected).abs() < 1e-10, "{from_smallest} of {count}: {found}, known {expected}");
        checked += 1;
    }
    assert_eq!(checked, 89);
}

/// Sorted pairing of n bores with n pistons from equal normals takes the squares to `1 − Σ m²/n` of what they are at random; Σ m² and the
/// factor for n = 4 and 8, computed elsewhere.
#[test]
fn the_expected_gain_of_sorted_pairing_follows_from_the_ranks() {
    for (count, squares, factor) in [(4, 2.295_658_839, 0.426_085_29), (8, 5.999_493_603, 0.250_063_3)] {
        let found: f64 = NormalSample::of(count).largest(count).iter().map(|m| m * m).sum();
        assert!((found - squares).abs() < 1e-8, "{count}: {found}");
        assert!((1.0 - found / count as f64 - factor).abs() < 1e-8);
    }
}

/// One position and one part that is out of the running: n further parts make of it the mean and Harter's largest of n times the scatter.
/// A stock of 4,000 leaves the scatter open by 1 in 90: over what it leaves open the expected scatter is
/// `√(ν/2)·Γ((ν−1)/2)/Γ(ν/2)` = 1.0002 times that of the stock, far inside the tolerance.
#[test]
fn a_pile_expects_what_harter_printed() {
    let (mean, deviation) = (50_000.0, 1_000.0);
    // Expected normal values themselves: a stock that looks as normal as can be.
    let scores = NormalSample::of(4_000).largest(4_000);
    let scale = deviation / (scores.iter().map(|m| m * m).sum::<f64>() / 3_999.0).sqrt();
    let stock = Numbers::single(scores.iter().map(|score| mean + scale * score).collect());
    let drawing = Drawing { seed: 1, futures: 4_000 };
    for (more, printed) in [(2_usize, 0.56419), (5, 1.16296), (10, 1.53875), (20, 1.86748)] {
        let population = Population::of(&stock).unwrap();
        let pile = Pile::among(Line::adding([0.0]), Numbers::single(vec![0.0]), population, Sought::HIGHEST).unwrap();
        let step = pile.outlook(&[more], drawing).unwrap().steps.remove(0);
        assert_eq!(step.how, How::Integrated);
        let found = (step.value.unwrap().value - mean) / deviation;
        assert!((found - printed).abs() < 0.001, "largest of {more}: {found}, printed {printed}");
    }
}
