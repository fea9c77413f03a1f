//! Expected range and expected standard deviation of normal samples against printed factors.

use pairwright_engine::statistics::{NormalDraws, Stream, Summary};

/// d2 and c4 for n = 2, 5 and 10: Table A.22 of a statistics textbook and the appendix of The Handbook for
/// Quality Management (both read in stored copies), recomputed to all digits. The draws and the
/// standard deviation are the product's own; 60,000 samples hold the factors within 0.01.
#[test]
fn ranges_and_deviations_of_draws_have_the_printed_means() {
    for (n, d2, c4) in [(2_u64, 1.128, 0.7979), (5, 2.326, 0.9400), (10, 3.078, 0.9727)] {
        let mut draws = NormalDraws::new(19, Stream::new(n));
        let (mut ranges, mut deviations) = (0.0, 0.0);
        let samples = 60_000;
        for _ in 0..samples {
            let sample: Vec<f64> = (0..n).map(|_| draws.next_draw()).collect();
            let high = sample.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let low = sample.iter().copied().fold(f64::INFINITY, f64::min);
            ranges += high - low;
            deviations += Summary::of(&sample).standard_deviation().expect("two values or more");
        }
        let (range, deviation) = (ranges / f64::from(samples), deviations / f64::from(samples));
        assert!((range - d2).abs() < 0.01, "n = {n}: {range}");
        assert!((deviation - c4).abs() < 0.01, "n = {n}: {deviation}");
    }
}
