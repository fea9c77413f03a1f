//! Readings and their statistics against published figures. Sources in full: `datasets/outside/statistics/SOURCE.md`.

#![expect(clippy::unwrap_used, reason = "in a test a panic is the report")]

use pairwright_engine::readings::{Effects, Finding, Gauge, PartId, PositionId, Reading, Source, reduce};
use pairwright_engine::statistics::{
    Dof, Risk, Summary, f_upper_tail, normal_cdf, normal_upper_quantile, t_two_sided_factor, t_upper_quantile,
    welch_satterthwaite,
};
use serde_json::Value;

/// Readings of part and position pairs, in whatever unit the publication has.
fn readings(cells: impl IntoIterator<Item = (usize, usize, f64)>) -> Vec<Reading> {
    let number = |index: usize| u32::try_from(index).unwrap();
    (1..)
        .zip(cells)
        .map(|(line, (part, position, value))| Reading {
            part: PartId::new(number(part)),
            position: PositionId::new(number(position)),
            value,
            spot: None,
            left_out: false,
            line,
        })
        .collect()
}

fn reduced(parts: usize, positions: usize, cells: impl IntoIterator<Item = (usize, usize, f64)>) -> Effects {
    reduce(parts, positions, &readings(cells), &Gauge::default(), &[]).unwrap()
}

fn numbers(value: &Value) -> Vec<f64> {
    value.as_array().unwrap().iter().map(|number| number.as_f64().unwrap()).collect()
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

fn dof(value: f64) -> Dof {
    Dof::new(value).unwrap()
}

#[track_caller]
fn close(found: f64, published: f64, relative: f64) {
    assert!((found - published).abs() <= relative * published.abs(), "found {found}, published {published}");
}

const STRD: [(&str, &str); 10] = [
    ("Lew", include_str!("../../datasets/outside/statistics/strd/Lew.dat")),
    ("Mavro", include_str!("../../datasets/outside/statistics/strd/Mavro.dat")),
    ("Michelso", include_str!("../../datasets/outside/statistics/strd/Michelso.dat")),
    ("NumAcc1", include_str!("../../datasets/outside/statistics/strd/NumAcc1.dat")),
    ("NumAcc2", include_str!("../../datasets/outside/statistics/strd/NumAcc2.dat")),
    ("NumAcc3", include_str!("../../datasets/outside/statistics/strd/NumAcc3.dat")),
    ("NumAcc4", include_str!("../../datasets/outside/statistics/strd/NumAcc4.dat")),
    ("SiRstv", include_str!("../../datasets/outside/statistics/strd/SiRstv.dat")),
    ("AtmWtAg", include_str!("../../datasets/outside/statistics/strd/AtmWtAg.dat")),
    ("SmLs01", include_str!("../../datasets/outside/statistics/strd/SmLs01.dat")),
];

/// The rows of numbers at the end of a file of the Statistical Reference Datasets.
fn rows(text: &str) -> Vec<Vec<f64>> {
    let rows = text.lines().map(|line| line.split_whitespace().map(str::parse).collect::<Result<Vec<f64>, _>>());
    let mut rows: Vec<Vec<f64>> = rows.rev().map_while(|row| row.ok().filter(|row| !row.is_empty())).collect();
    rows.reverse();
    rows
}

fn certified(name: &str, kind: &str) -> Option<Value> {
    let all = json(include_str!("../../datasets/outside/statistics/strd/certified.json"));
    let set = all["sets"][name].clone();
    (set["kind"] == kind).then_some(set)
}

fn figure(set: &Value, name: &str) -> f64 {
    set[name].as_str().unwrap().parse().unwrap()
}

/// NIST Statistical Reference Datasets, univariate: certified mean and standard deviation of nearly equal numbers.
#[test]
fn means_and_deviations_keep_the_certified_digits() {
    let mut sets = 0;
    for (name, text) in STRD {
        let Some(set) = certified(name, "univariate") else { continue };
        sets += 1;
        let values: Vec<f64> = rows(text).into_iter().map(|row| row[0]).collect();
        assert_eq!(values.len() as u64, set["n"].as_u64().unwrap(), "{name}");
        // NumAcc3 and 4 are not exact in binary: their deviations keep 9 and 8 digits in any double precision sum.
        let digits = match name {
            "NumAcc3" => 1e-9,
            "NumAcc4" => 1e-7,
            _ => 1e-12,
        };
        let summary = Summary::of(&values);
        close(summary.mean, figure(&set, "mean"), 1e-14);
        close(summary.standard_deviation().unwrap(), figure(&set, "sd"), digits);
        let effects = reduced(1, 1, values.into_iter().map(|value| (0, 0, value)));
        close(effects.part_effect(PartId::new(0)).unwrap(), figure(&set, "mean"), 1e-14);
        close(effects.repeatability().s, figure(&set, "sd"), digits);
    }
    assert_eq!(sets, 7);
}

/// NIST Statistical Reference Datasets, analysis of variance: the treatments are positions of one part, so that the residuals are those within treatments.
#[test]
fn repeats_and_f_keep_the_certified_digits() {
    let mut sets = 0;
    for (name, text) in STRD {
        let Some(set) = certified(name, "anova1") else { continue };
        sets += 1;
        let rows = rows(text);
        let groups = usize::try_from(set["groups"].as_u64().unwrap()).unwrap();
        let treatment = |row: &Vec<f64>| (0..groups).find(|at| (*at as f64 + 1.0 - row[0]).abs() < 0.1).unwrap();
        let effects = reduced(1, groups, rows.iter().map(|row| (0, treatment(row), row[1])));
        let (s, within) = effects.repeatability().residual.unwrap();
        close(within.value(), set["df_within"].as_f64().unwrap(), 0.0);
        // AtmWtAg shares 7 of its 16 digits over all readings.
        let digits = if name == "AtmWtAg" { 1e-7 } else { 1e-12 };
        close(s, figure(&set, "resid_sd"), digits);
        let grand = Summary::of(&rows.iter().map(|row| row[1]).collect::<Vec<_>>()).mean;
        let between: f64 = rows
            .iter()
            .map(|row| {
                let position = PositionId::new(u32::try_from(treatment(row)).unwrap());
                (effects.predict(PartId::new(0), position).unwrap().value - grand).powi(2)
            })
            .sum();
        let f = between / (groups - 1) as f64 / (s * s);
        close(f, figure(&set, "F"), digits);
    }
    assert_eq!(sets, 3);
}

/// Grubbs' test: NIST/SEMATECH e-Handbook 1.3.5.17.1, G = 2.4687 for 245.57 among 8 masses.
#[test]
fn an_odd_mass_is_the_one_that_grubbs_finds() {
    let masses = [199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57];
    let effects = reduced(1, 1, masses.map(|mass| (0, 0, mass)));
    let Some(&Finding::Outlier { line, value, expected, others, t, p }) = effects.findings().first() else {
        panic!("{:?}", effects.findings());
    };
    assert_eq!((line, others), (8, 7));
    close(value, 245.57, 0.0);
    close(expected, masses[..7].iter().sum::<f64>() / 7.0, 1e-12);
    close(grubbs_of_t(8, t), 2.4687, 5e-5);
    assert!(p < 0.05);
}

/// G of an externally studentized residual t: both measure the same distance, G by the deviation with the reading, t without it.
fn grubbs_of_t(n: usize, t: f64) -> f64 {
    let n = n as f64;
    ((n - 1.0).powi(2) * t * t / (n * (n - 2.0 + t * t))).sqrt()
}

/// Critical values of Grubbs' test, n = 4 to 40, two-sided 5 %: a reading just beyond is called odd, one just below is not.
#[test]
fn readings_are_odd_from_the_critical_value_of_grubbs_on() {
    let text = include_str!("../../datasets/outside/statistics/grubbs_critical.csv");
    let mut rows = 0;
    for record in csv::ReaderBuilder::new().comment(Some(b'#')).from_reader(text.as_bytes()).records() {
        let record = record.unwrap();
        let n: usize = record[0].parse().unwrap();
        let critical: f64 = record[6].parse().unwrap();
        let threshold = t_upper_quantile(Risk::ONE_IN_20.shared_by(2 * n), dof(n as f64 - 2.0));
        close(grubbs_of_t(n, threshold), critical, 1e-4);
        if n < 6 {
            // G of so few numbers is hardly below its greatest value, (n - 1)/sqrt(n): no way to come close from both sides.
            continue;
        }
        rows += 1;
        for (factor, odd) in [(1.001, true), (0.999, false)] {
            let values = sample_with_grubbs(n, critical * factor);
            let effects = reduced(1, 1, values.into_iter().map(|value| (0, 0, value)));
            let found = effects.findings().iter().any(|finding| matches!(finding, Finding::Outlier { .. }));
            assert_eq!(found, odd, "n = {n}, G = {}", critical * factor);
        }
    }
    assert_eq!(rows, 35);
}

/// n numbers of which the last has this G.
fn sample_with_grubbs(n: usize, g: f64) -> Vec<f64> {
    let with_last = |last: f64| -> Vec<f64> { (1..n).map(|k| k as f64 / n as f64 - 0.5).chain([last]).collect() };
    let (mut low, mut high) = (0.5, 1e3);
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        let summary = Summary::of(&with_last(middle));
        if (middle - summary.mean) / summary.standard_deviation().unwrap() < g { low = middle } else { high = middle }
    }
    with_last(low)
}

/// n values about a mean with this standard deviation.
fn spread_out(n: usize, mean: f64, deviation: f64) -> impl Iterator<Item = f64> {
    let size = deviation * ((n - 1) as f64 / (n - n % 2) as f64).sqrt();
    (0..n).map(move |k| {
        if k == n - 1 && n % 2 == 1 {
            mean
        } else if k % 2 == 0 {
            mean + size
        } else {
            mean - size
        }
    })
}

/// Pooled repeatability: NIST/SEMATECH e-Handbook 2.6.1, five wafers with 60 degrees of freedom each, sums of squares as printed in 2.4.4,
/// s = sqrt(3.17635 / 300) = 0.10290 (computed). And GUM H.5: ten days of five readings, pooled 85 µV.
#[test]
fn repeatability_pools_as_published() {
    let squares: [f64; 5] = [0.48115, 0.69209, 0.48483, 1.21752, 0.30076];
    let cells = (0..5)
        .flat_map(|at| spread_out(61, 97.0 + at as f64, (squares[at] / 60.0).sqrt()).map(move |value| (0, at, value)));
    let effects = reduced(1, 5, cells);
    close(effects.repeatability().s, 0.10290, 5e-5);
    close(effects.repeatability().dof.value(), 300.0, 0.0);
    assert_eq!(effects.repeatability().source, Source::Residuals);

    let gum = json(include_str!("../../datasets/outside/statistics/gum_examples.json"));
    let (means, deviations) = (numbers(&gum["H5"]["day_means_V"]), numbers(&gum["H5"]["day_sd_V"]));
    let days = means.iter().zip(&deviations).enumerate();
    let cells = days.flat_map(|(day, (mean, sd))| spread_out(5, mean * 1e6, sd * 1e6).map(move |v| (0, day, v)));
    let effects = reduced(1, 10, cells);
    assert!((effects.repeatability().s - gum["H5"]["pooled_sd_uV"].as_f64().unwrap()).abs() < 0.5);
    close(effects.repeatability().dof.value(), 40.0, 0.0);
}

/// Two-way table without replication (McDonald): effects, residual mean square, standard errors of differences and of a fitted cell.
#[test]
fn a_full_table_gives_the_published_effects() {
    let all = json(include_str!("../../datasets/outside/statistics/two_way_additive.json"));
    let table = &all["unreplicated"];
    let rows: Vec<Vec<f64>> = table["data"].as_array().unwrap().iter().map(numbers).collect();
    let cells = rows.iter().enumerate().flat_map(|(i, row)| row.iter().enumerate().map(move |(j, y)| (i, j, *y)));
    let effects = reduced(6, 4, cells);
    let number = |name: &str| table[name].as_f64().unwrap();
    for (part, effect) in (0..).map(PartId::new).zip(numbers(&table["row_effects"])) {
        close(effects.part_effect(part).unwrap() - number("grand_mean"), effect, 1e-9);
    }
    for (position, effect) in (0..).map(PositionId::new).zip(numbers(&table["col_effects"])) {
        close(effects.position_effect(position).unwrap(), effect, 1e-9);
    }
    close(effects.repeatability().s.powi(2), number("resid_ms"), 1e-12);
    close(effects.repeatability().dof.value(), number("df"), 0.0);
    let pair = |part, position| (PartId::new(part), PositionId::new(position));
    close(effects.difference(pair(0, 2), pair(4, 2)).unwrap().u, number("se_row_difference"), 1e-12);
    close(effects.difference(pair(3, 0), pair(3, 1)).unwrap().u, number("se_col_difference"), 1e-12);
    let fitted = effects.predict(PartId::new(2), PositionId::new(3)).unwrap();
    close(fitted.u, number("se_fitted_cell"), 1e-12);
    close(effects.covariance(&[pair(2, 3)]).unwrap()[(0, 0)], fitted.u * fitted.u, 1e-12);
    // F of days, 3.32, from the differences between days alone.
    let squares: f64 = numbers(&table["col_effects"]).iter().map(|effect| 6.0 * effect * effect).sum();
    let f = squares / 3.0 / effects.repeatability().s.powi(2);
    close(f, number("F_cols"), 1e-9);
    close(f_upper_tail(f, dof(3.0), dof(15.0)), number("p_cols"), 1e-9);
}

/// Lack of fit is the interaction of a replicated table. Pins: NIST/SEMATECH e-Handbook 3.2.3.2, F 0.42 (printed value from memory,
/// recomputed). Gauge study: AIAG MSA, sums of squares computed; its repeatability with the interaction pooled is 0.199933.
#[test]
fn lack_of_fit_is_the_interaction() {
    let all = json(include_str!("../../datasets/outside/statistics/two_way_additive.json"));
    let pins = &all["replicated"];
    let machines = pins["data"].as_array().unwrap().iter().enumerate();
    let cells = machines.flat_map(|(machine, operators)| {
        let operators = operators.as_array().unwrap().iter().enumerate();
        operators.flat_map(move |(operator, pins)| numbers(pins).into_iter().map(move |pin| (machine, operator, pin)))
    });
    let test = reduced(5, 2, cells).repeatability().lack_of_fit.unwrap();
    close(test.f, pins["crossed"]["F"][2].as_f64().unwrap(), 1e-9);
    assert_eq!((test.dof, test.reference), (dof(4.0), dof(40.0)));

    let study = json(include_str!("../../datasets/outside/statistics/gauge_rr_10x3x3.json"));
    let appraisers = study["data"].as_object().unwrap().values().enumerate();
    let cells = appraisers.flat_map(|(appraiser, trials)| {
        let trials = trials.as_array().unwrap().iter();
        trials.flat_map(move |trial| numbers(trial).into_iter().enumerate().map(move |(part, y)| (part, appraiser, y)))
    });
    let effects = reduced(10, 3, cells);
    let split = &study["anova"];
    close(effects.repeatability().s, split["pooled_EV"].as_f64().unwrap(), 5e-6);
    let test = effects.repeatability().lack_of_fit.unwrap();
    let f = split["SS_interaction"].as_f64().unwrap() / 18.0 / (split["SS_repeat"].as_f64().unwrap() / 60.0);
    close(test.f, f, 5e-6);
    assert_eq!((test.dof, test.reference), (dof(18.0), dof(60.0)));
}

/// GUM H.1: effective degrees of freedom 16, k = 2.92 at 99 %, U = 93 nm. JCGM 100 Table G.2: t(16) 2.12, 2.17, 2.92.
#[test]
fn effective_degrees_of_freedom_and_coverage_factors_of_the_gum() {
    let gum = json(include_str!("../../datasets/outside/statistics/gum_examples.json"));
    let h1 = &gum["H1"];
    let mut sources = Vec::new();
    for (name, component) in h1["components"].as_object().unwrap() {
        let u = component.as_f64().unwrap();
        sources.push((u * u, dof(h1["inputs"][name]["dof"].as_f64().unwrap())));
    }
    let u = h1["u_unrounded"].as_f64().unwrap();
    let known: f64 = u * u - sources.iter().map(|(variance, _)| variance).sum::<f64>();
    sources.push((known.max(0.0), Dof::INFINITE));
    let effective = welch_satterthwaite(&sources);
    assert!((effective.value() - h1["dof_unrounded"].as_f64().unwrap()).abs() < 1e-3);
    let sixteen = dof(effective.value().floor());
    let k = t_two_sided_factor(Risk::new(0.01).unwrap(), sixteen);
    close(k, 2.92, 0.0005);
    close((k * h1["u"].as_f64().unwrap()).round(), 93.0, 0.0);
    close(t_two_sided_factor(Risk::ONE_IN_20, sixteen), 2.12, 0.0005);
    close(t_two_sided_factor(Risk::new(1.0 - 0.9545).unwrap(), sixteen), 2.17, 0.001);
}

/// Guard factors: ISO 14253-1:2017 takes 1.65 u for 5 %; ILAC-G8 U = 2 u leaves 2.5 %, 1.5 U = 3 u leaves 0.16 %, none 50 %
/// (second-hand, public repositories quoting the standards).
#[test]
fn guard_factors_of_the_standards() {
    assert!((normal_upper_quantile(Risk::ONE_IN_20) - 1.65).abs() < 0.006);
    assert!((t_upper_quantile(Risk::ONE_IN_40, Dof::INFINITE) - 1.96).abs() < 0.0001);
    close(normal_cdf(-2.0), 0.022_750_131_948_179_21, 1e-9);
    close(normal_cdf(-3.0), 0.001_349_898_031_630_103_5, 1e-9);
    close(normal_cdf(0.0), 0.5, 1e-15);
    // One-sided t of 10 degrees of freedom: what a stated repeatability alone is worth. 2.228, any table of Student's t.
    close(t_upper_quantile(Risk::ONE_IN_40, dof(10.0)), 2.228, 1e-4);
}

/// Common practice, no source: two pistons read in the same hole, 0.014 in above and 0.004 in below, differ by 0.018 in, there and in any
/// other hole.
#[test]
fn pistons_read_in_one_hole_differ_everywhere_alike() {
    let inch = 25.4e6;
    let cells = [(0, 0, 0.014 * inch), (1, 0, -0.004 * inch), (0, 1, 0.011 * inch)];
    let effects = reduced(2, 2, cells);
    for position in [0, 1].map(PositionId::new) {
        let apart = effects.difference((PartId::new(0), position), (PartId::new(1), position)).unwrap();
        assert!((apart.value - 0.018 * inch).abs() < 1e-6);
    }
    let unread = effects.predict(PartId::new(1), PositionId::new(1)).unwrap();
    assert!((unread.value + 0.007 * inch).abs() < 1e-6);
}
