//! Uncertainties and covariances of every fit, and between fits, against sampling, with every source drawn anew: those
//! that seats share (bore, stroke, gasket type, the control piston) and those that they do not.
//!
//! JCGM 101:2008 (propagation of distributions by a Monte Carlo method) is the method; the draws are
//! evaluated by the second derivation of the fits, not by the product.

use pairwright_engine::fit::joint_covariance;
use pairwright_engine::job::{Column, Columns, FitName, Job};
use pairwright_engine::quantity::Amount;
use pairwright_engine::reduction::Reduction;
use pairwright_engine::statistics::{NormalDraws, Stream};
use pairwright_tests::build::nm;
use pairwright_tests::derive::{self, Stand};
use pairwright_tests::whole_engine::{self, Measured, cc, seat, ticks, with_fits};

const DRAWS: usize = 8_000;
/// Scatter of one dial reading in nm and of one pour in 1e-6 cc.
const READ: i64 = 12_000;
const POUR: i64 = 250_000;

/// Standard uncertainties in ticks, one a column; chambers under one name.
const KNOWN: [(&str, i64); 14] = [
    ("bore", 8_000),
    ("stroke", 20_000),
    ("throw", 9_000),
    ("length", 7_000),
    ("rod_length", 6_000),
    ("deck_height", 11_000),
    ("compression_height", 9_000),
    ("diameter", 4_000),
    ("dish", 200_000),
    ("crevice", 60_000),
    ("chamber", 300_000),
    ("recess", 15_000),
    ("thickness", 20_000),
    ("gasket", 150_000),
];

fn engine(measured: Measured) -> Job {
    let dice: Vec<i64> = (0..97).map(|n| (n * 619 + 211) % 2_001 - 1_000).collect();
    let mut job = whole_engine::job(measured, &dice);
    let amount = |name: &str, u| if ["dish", "crevice", "chamber", "gasket"].contains(&name) { cc(u) } else { nm(u) };
    job.uncertainty = KNOWN.iter().map(|&(name, u)| (name.to_owned(), amount(name, u))).collect();
    if let Some(deck) = &mut job.deck {
        deck.repeatability = Some(nm(READ));
        // No reading checks another: the stated repeatability is all that is known.
        deck.rows.pop();
    }
    if let Some(pours) = &mut job.chambers {
        pours.repeatability = Some(cc(POUR));
        pours.rows.dedup_by_key(|row| (row.head, row.chamber));
    }
    job
}

/// The same engine with every size drawn anew.
fn drawn(job: &Job, draws: &mut NormalDraws) -> Job {
    let known = |name: &str| {
        let name = if name.starts_with("chamber_") { "chamber" } else { name };
        KNOWN.iter().find(|(known, _)| *known == name).map_or(0, |&(_, u)| u)
    };
    let mut off = |amount: Amount, u: i64| {
        #[expect(clippy::cast_possible_truncation, reason = "a few thousand ticks")]
        let by = (u as f64 * draws.next_draw()).round() as i64;
        Amount::new(amount.ticks() + by, amount.unit(), amount.decimals())
    };
    let mut job = job.clone();
    let engine = &mut job.engine;
    engine.bore = engine.bore.map(|bore| off(bore, known("bore")));
    engine.stroke = engine.stroke.map(|stroke| off(stroke, known("stroke")));
    engine.crevice = engine.crevice.map(|crevice| off(crevice, known("crevice")));
    engine.rod_length = engine.rod_length.map(|length| off(length, known("rod_length")));
    engine.deck_height = engine.deck_height.map(|height| off(height, known("deck_height")));
    let stocks = job.stocks.iter_mut().map(|stock| &mut stock.columns);
    for columns in stocks.chain(job.positions.iter_mut().map(|positions| &mut positions.columns)) {
        let column = |column: &Column| Column {
            name: column.name.clone(),
            values: column.values.iter().map(|v| v.map(|value| off(value, known(&column.name)))).collect(),
        };
        *columns = Columns::new(columns.iter().map(column).collect());
    }
    for row in job.deck.iter_mut().flat_map(|deck| &mut deck.rows) {
        row.value = off(row.value, READ);
    }
    for row in job.chambers.iter_mut().flat_map(|pours| &mut pours.rows) {
        row.value = off(row.value, POUR);
    }
    job
}

/// Three seats: two that share bank, head and gasket type, one of the other bank with another head, which
/// shares the rest.
fn stands(measured: Measured) -> [Stand; 3] {
    let rod = |rod| measured.rods.then_some(rod);
    [
        Stand { position: 0, piston: 1, rod: rod(1), head: 0, gasket: 0 },
        Stand { position: 1, piston: 2, rod: rod(0), head: 0, gasket: 0 },
        Stand { position: 4, piston: 0, rod: rod(2), head: 1, gasket: 0 },
    ]
}

/// The fits at stake: everything that is not a plain sum of masses.
const FITS: [FitName; 5] =
    [FitName::Deck, FitName::PistonToHead, FitName::ClearanceVolume, FitName::Compression, FitName::Skirt];

/// Sampled values of every fit in every seat, fit after fit, in ticks.
fn sampled(job: &Job, stands: [Stand; 3]) -> Vec<Vec<f64>> {
    let mut draws = NormalDraws::new(20_261, Stream::new(77));
    let one = |job: &Job| {
        let decks = job.deck.is_some().then(|| derive::deck(job));
        let value = |fit, at| ticks(job, fit) * derive::fit(job, decks.as_deref(), fit, at).expect("all known");
        FITS.iter().flat_map(|&fit| stands.map(|at| value(fit, at))).collect()
    };
    (0..DRAWS).map(|_| one(&drawn(job, &mut draws))).collect()
}

/// Covariance of two columns of sampled values.
fn covariance(values: &[Vec<f64>], a: usize, b: usize) -> f64 {
    let n = values.len() as f64;
    let mean = |at: usize| values.iter().map(|v| v[at]).sum::<f64>() / n;
    let (mean_a, mean_b) = (mean(a), mean(b));
    values.iter().map(|v| (v[a] - mean_a) * (v[b] - mean_b)).sum::<f64>() / n
}

/// The joint covariance of all fits in all seats, and that it is what each fit by itself says.
fn predicted(job: &Job, stands: [Stand; 3]) -> Vec<Vec<f64>> {
    let seats = stands.map(seat);
    let reduction = job.deck.as_ref().map(|deck| Reduction::new(job, deck, &[]).expect("sound readings"));
    with_fits(job, |fits| {
        let fits: Vec<_> = fits.iter().filter(|fit| FITS.contains(&fit.name())).collect();
        let errors = fits.iter().flat_map(|fit| seats.map(|seat| fit.errors(seat).expect("predicted")));
        let joint = joint_covariance(&errors.collect::<Vec<_>>(), reduction.as_ref());
        for (fit, first) in fits.iter().zip((0..).step_by(3)) {
            let own = fit.covariance(&seats);
            assert_eq!(own, joint.view((first, first), (3, 3)));
            for (at, &seat) in seats.iter().enumerate() {
                let u = fit.doubt(seat).expect("predicted").u;
                assert!((u * u - own[(at, at)]).abs() <= 1e-9 * u * u, "{:?}", fit.name());
            }
        }
        joint.row_iter().map(|row| row.iter().copied().collect()).collect()
    })
}

fn check(measured: Measured) {
    let job = engine(measured);
    let found = predicted(&job, stands(measured));
    let sampled = sampled(&job, stands(measured));
    let of = |at: usize| format!("{:?} in seat {}", FITS[at / 3], at % 3);
    for a in 0..found.len() {
        for b in 0..=a {
            // 4.5 standard errors of a sampled correlation, √2 more on the diagonal.
            let room = 4.5 * 2_f64.sqrt() / (DRAWS as f64).sqrt() * (found[a][a] * found[b][b]).sqrt();
            let (sampled, found) = (covariance(&sampled, a, b), found[a][b]);
            assert!((sampled - found).abs() <= room, "{}, {}, {measured:?}: {sampled} {found}", of(a), of(b));
        }
    }
}

const ENGINE: Measured = Measured {
    banks: [3, 3],
    turned: true,
    read: true,
    by_cylinder: false,
    rods: false,
    gasket_volume: false,
    poured: false,
};

#[test]
fn read_with_sizes_of_the_engine() {
    check(ENGINE);
}

#[test]
fn read_on_rods_with_cylinders_and_pours() {
    check(Measured { rods: true, by_cylinder: true, poured: true, gasket_volume: true, ..ENGINE });
}

#[test]
fn made_of_its_parts_with_the_stroke_in_deck_and_sweep() {
    check(Measured { read: false, ..ENGINE });
}

#[test]
fn made_of_its_parts_by_cylinder_and_rod() {
    check(Measured { read: false, rods: true, by_cylinder: true, ..ENGINE });
}

/// Spreads are judged by differences: an error of the common bore, stroke or gasket type, made ten times as
/// large, grows the doubt of every ratio and next to nothing that of their difference.
#[test]
fn what_is_common_cancels_in_a_difference() {
    let variances = |grown: &str| {
        let mut job = engine(ENGINE);
        for (name, u) in &mut job.uncertainty {
            if name == grown {
                *u = nm(10 * u.ticks());
            }
        }
        with_fits(&job, |fits| {
            let compression = fits.iter().find(|fit| fit.name() == FitName::Compression).expect("compression");
            let found = compression.covariance(&stands(ENGINE).map(seat));
            (found[(0, 0)], found[(0, 0)] + found[(1, 1)] - 2.0 * found[(0, 1)])
        })
    };
    let (own, difference) = variances("nothing");
    for common in ["bore", "stroke", "thickness"] {
        let (own_grown, difference_grown) = variances(common);
        assert!(own_grown > 1.01 * own, "{common}");
        assert!((difference_grown - difference).abs() < 0.05 * (own_grown - own), "{common}");
    }
    // What each has for itself does not cancel.
    let (own_grown, difference_grown) = variances("compression_height");
    assert!((own_grown, difference_grown) == (own, difference), "not used where readings are");
}

/// How far first order is off: the ratio is `1 + S/V`, and only V is in doubt, by so many per cent of it.
/// The exact second moment follows from the same draws, so that the error of sampling cancels.
#[test]
fn first_order_falls_short_by_one_per_cent_at_five_per_cent_of_the_volume() {
    let job = engine(ENGINE);
    let at = stands(ENGINE)[0];
    let decks = derive::deck(&job);
    let volume = derive::fit(&job, Some(&decks), FitName::ClearanceVolume, at).expect("known");
    let ratio = derive::fit(&job, Some(&decks), FitName::Compression, at).expect("known");
    let swept = volume * (ratio - 1.0);
    for (percent, most_u, most_bias) in
        [(1.0, 0.000_6, 0.011), (3.0, 0.004, 0.032), (4.0, 0.007, 0.042), (5.0, 0.0115, 0.053)]
    {
        let mut draws = NormalDraws::new(7, Stream::new(78));
        let u = volume * percent / 100.0;
        let (mut linear, mut full) = (Vec::new(), Vec::new());
        for _ in 0..200_000 {
            let off = u * draws.next_draw();
            linear.push(vec![-swept / (volume * volume) * off]);
            full.push(vec![swept / (volume + off) + 1.0 - ratio]);
        }
        let short = (covariance(&full, 0, 0) / covariance(&linear, 0, 0)).sqrt() - 1.0;
        let bias = full.iter().zip(&linear).map(|(full, linear)| full[0] - linear[0]).sum::<f64>() / 200_000.0;
        let bias = bias / covariance(&linear, 0, 0).sqrt();
        assert!((0.0..most_u).contains(&short), "{percent} %: u is short by {short}");
        assert!((0.0..most_bias).contains(&bias), "{percent} %: the mean is off by {bias} u");
    }
}
