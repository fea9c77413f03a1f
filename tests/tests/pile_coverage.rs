//! Whether what a pile promises comes true: stocks are drawn, some of their parts measured, the others added to the pile.

use pairwright_engine::pile::{Drawing, Line, Model, Numbers, Pile, Sought};
use pairwright_engine::statistics::{NormalDraws, Risk, Stream, normal_cdf, normal_upper_quantile};

/// What of many stocks came true.
#[derive(Debug, Default)]
struct Tally {
    inside: u32,
    expected: f64,
    real: f64,
    smoothed: u32,
}

/// `stocks` times: `parts` are measured and `more` come to them, all of one distribution made of normal draws by `of`.
fn tally(sought: Sought, (parts, more): (usize, usize), stocks: u32, of: impl Fn(f64) -> f64) -> Tally {
    let mut tally = Tally::default();
    for stock in 0..stocks {
        let mut draws = NormalDraws::new(11, Stream::new(u64::from(stock)));
        let all: Vec<f64> = (0..parts + more).map(|_| (1_000.0 * of(draws.next_draw())).round()).collect();
        let line = || Line::adding([0.0, 300.0, -200.0, 100.0]);
        let pile = |count: usize| Pile::new(line(), Numbers::single(all[..count].to_vec()), sought).expect("a stock");
        let (before, after) = (pile(parts), pile(parts + more));
        let drawing = Drawing { seed: u64::from(stock), futures: 200 };
        let gain = before.outlook(&[more], drawing).expect("a pile").steps[0].gain.expect("enough parts");
        let real = sought.gain(before.now().expect("enough"), after.now().expect("enough"));
        tally.inside += u32::from((gain.low - 1e-9..=gain.high + 1e-9).contains(&real));
        tally.smoothed += u32::from(before.population().model() == Model::Smoothed);
        tally.expected += gain.value / f64::from(stocks);
        tally.real += real / f64::from(stocks);
    }
    tally
}

/// Measured and further parts from one normal distribution: the 95 % hold (200 futures bound 94 %), and expected gains are real ones on average,
/// the mean over what the stock leaves open being a little higher.
#[test]
fn intervals_of_normal_stocks_hold_what_really_comes() {
    let cases =
        [(Sought::HIGHEST, (12, 20), 1_600), (Sought::EVEN, (9, 12), 300), (Sought::LOWEST_BY_GREATEST, (30, 60), 300)];
    for (sought, sizes, stocks) in cases {
        let found = tally(sought, sizes, stocks, |z| z);
        let share = f64::from(found.inside) / f64::from(stocks);
        let error = (0.94 * 0.06 / f64::from(stocks)).sqrt();
        assert!((share - 0.94).abs() < 3.0 * error, "{sought:?}: {share} {found:?}");
        assert!((found.expected / found.real - 1.0).abs() < 0.15, "{sought:?}: {found:?}");
    }
}

/// Two batches (one in two parts is six scatters higher): smoothed, and near enough.
#[test]
fn intervals_of_two_batches_hold_most_of_what_really_comes() {
    let batches = |z: f64| {
        // The upper half of the normal draws makes one batch, the lower half the other; both are normal again.
        let share = normal_cdf(z);
        let (batch, within) = if share < 0.5 { (0.0, 2.0 * share) } else { (6.0, 2.0 * share - 1.0) };
        let risk = Risk::new(within).expect("inside");
        batch - normal_upper_quantile(risk)
    };
    let found = tally(Sought::HIGHEST, (60, 60), 300, batches);
    assert!(found.smoothed > 290, "{found:?}");
    let share = f64::from(found.inside) / 300.0;
    assert!((0.88..=1.0).contains(&share), "{share} {found:?}");
    // Curves wider than the batches' own edges draw somewhat better parts than there are, never twice so.
    assert!((0.8..2.0).contains(&(found.expected / found.real)), "{found:?}");
}
