//! Valve lift against lifts and limits printed in manuals, the lever law, and every choice there is.

use std::fmt::Write as _;

use pairwright::input::load;
use pairwright_engine::fit::{Cast, Fit, Seat, fits};
use pairwright_engine::job::{FitName, Job};
use pairwright_engine::outcome::{Outcome, match_job};
use pairwright_engine::plan::Plan;
use proptest::prelude::*;

/// `datasets/outside/limits`: figures with their manuals and pages.
const LIMITS: &str = include_str!("../../datasets/outside/limits/manual_limits.csv");

/// A job in mm: lobes and rockers in µm and millionths.
fn job(lobes_um: &[i64], ratios: &[i64], limits: &str) -> Job {
    let decimal = |value: i64, places: usize| {
        let unit = 10_i64.pow(u32::try_from(places).expect("few"));
        format!("{}.{:0places$}", value / unit, value % unit)
    };
    let mut valves = "valve,lobe_lift,lash\n".to_owned();
    for (at, &lobe) in lobes_um.iter().enumerate() {
        let _ = writeln!(valves, "{at},{},0", decimal(lobe, 3));
    }
    let mut rockers = "id,ratio\n".to_owned();
    for (at, &ratio) in ratios.iter().enumerate() {
        let _ = writeln!(rockers, "R{at},{}", decimal(ratio, 6));
    }
    read(&valves, &rockers, "", &format!("highest = \"lift\"\n{limits}"))
}

fn read(valves: &str, rockers: &str, engine: &str, matching: &str) -> Job {
    let folder = tempfile::tempdir().expect("a temporary folder");
    let toml = format!(
        "units = \"mm\"\n{engine}\n[stock]\nrocker = \"r.csv\"\n[positions]\nvalve = \"v.csv\"\n[[match]]\nplace = \
         \"rocker\"\n{matching}\n"
    );
    for (name, text) in [("job.toml", toml.as_str()), ("v.csv", valves), ("r.csv", rockers)] {
        std::fs::write(folder.path().join(name), text).expect("written");
    }
    load(folder.path()).unwrap_or_else(|wrong| panic!("{:?}", wrong.items)).job
}

fn plan(job: &Job) -> Option<Plan> {
    match match_job(job, None).expect("the checker accepts the answer").matches.remove(0).outcome {
        Outcome::Planned(planned) => Some(planned.plan),
        _ => None,
    }
}

/// Visits the fit `lift` of a job of rockers and valves.
fn with_lift<T>(job: &Job, visit: impl FnOnce(&dyn Fit) -> T) -> T {
    let cast = Cast::new(["rocker"], []);
    let all = fits(job, &cast, None, None);
    let lift = all.iter().flatten().find(|fit| fit.name() == FitName::Lift).expect("everything is there");
    visit(lift.as_ref())
}

fn seat(valve: usize, rocker: usize) -> Seat {
    Seat::empty(valve).with(0, rocker)
}

/// The figures of a row of the manuals' limits: least and greatest in mm, to the µm.
#[expect(clippy::cast_possible_truncation, reason = "lifts are some thousand µm")]
fn printed(what: &str, manual: &str) -> [Option<i64>; 2] {
    let row = LIMITS.lines().find(|line| line.starts_with(manual) && line.contains(what)).expect("in the file");
    let cells: Vec<&str> = row.split(',').collect();
    let from = if cells[6] == "mm" { 4 } else { 7 };
    [from, from + 1].map(|at| cells[at].parse::<f64>().ok().map(|mm| (mm * 1e3).round() as i64))
}

/// Lobe lifts as printed (TM 5-3805-258-24-1 p. 4-28, TM 5-3805-260-24 p. 1-11) under ratios chosen here: the lever law
/// in whole numbers. No manual that gives lobe lift, ratio and lift of one engine together was found.
#[test]
fn printed_lobes_lift_by_the_lever_law() {
    let lobes = [
        printed("camshaft lobe lift (lobe", "TM 5-3805-258-24-1"),
        printed("camshaft lobe lift exhaust", "TM 5-3805-260-24"),
        printed("camshaft lobe lift intake", "TM 5-3805-260-24"),
    ]
    .map(|[_, lobe]| lobe.expect("printed"));
    assert_eq!(lobes, [8_382, 7_800, 7_816]);
    let ratios = [1_500_000, 1_600_000, 1_437_500];
    let job = job(&lobes, &ratios, "");
    with_lift(&job, |lift| {
        for (valve, &lobe) in lobes.iter().enumerate() {
            for (rocker, &ratio) in ratios.iter().enumerate() {
                // µm times millionths: a thousand of them are a nm.
                assert_eq!(lift.value(seat(valve, rocker)), Some(lobe * ratio / 1_000), "{lobe} {ratio}");
            }
        }
    });
}

/// The lift printed for an intake valve at zero lash, 11.77 to 12.21 mm (TM 5-3805-280-24-2 p. 13-71), over a lobe of
/// 7.816 mm (TM 5-3805-260-24 p. 1-11): the greatest ratio that stays inside goes in, and none that does not.
#[test]
fn a_printed_window_lets_in_what_it_says() {
    let [Some(least), Some(most)] = printed("intake valve lift at zero lash", "TM 5-3805-280-24-2") else {
        panic!("printed");
    };
    assert_eq!([least, most], [11_770, 12_210]);
    let ratios = [1_505_800, 1_505_900, 1_530_000, 1_562_100, 1_562_300, 1_600_000];
    let inside: Vec<bool> =
        ratios.iter().map(|ratio| (least * 1_000_000..=most * 1_000_000).contains(&(7_816 * ratio))).collect();
    assert_eq!(inside, [false, true, true, true, false, false]);
    let limits = "limits = { lift = { min = 11.77, max = 12.21, guard = false } }";
    let chosen = plan(&job(&[7_816, 7_816], &ratios, limits)).expect("two fit");
    let mut parts: Vec<usize> = chosen.placements.iter().map(|place| place.parts[0]).collect();
    parts.sort_unstable();
    assert_eq!(parts, [2, 3]);
    assert!(plan(&job(&[7_816; 4], &ratios, limits)).is_none(), "only three fit");
}

/// `u² = (r·u_lobe)² + (lobe·u_r)² + u_lash²` with `u_r² = (u_read/ref)² + (r·u_ref/ref)²`, reckoned here by differences;
/// the error of the reference lobe is one and the same for both rockers (JCGM 100:2008, 5.2.2).
#[test]
fn a_ratio_read_over_a_lobe_carries_the_doubt_of_that_lobe() {
    let engine = "[engine]\nreference_lobe = 7.600\n[uncertainty]\nreference_lobe = 0.020\nlift = 0.012\nlobe_lift = \
                  0.015\nlash = 0.010";
    let job = read(
        "valve,lobe_lift,lash\n1,8.382,0.300\n2,8.250,0.300\n",
        "id,lift\nA,11.400\nB,11.704\n",
        engine,
        "even = \"lift\"",
    );
    let lift = |lobe: f64, read: f64, reference: f64, lash: f64| lobe * read / reference - lash;
    let by = |sizes: [f64; 4], which: usize| {
        let step = 1e-4;
        let mut moved = sizes;
        moved[which] += step;
        let of = |[lobe, read, reference, lash]: [f64; 4]| lift(lobe, read, reference, lash);
        (of(moved) - of(sizes)) / step
    };
    let us = [0.015, 0.012, 0.020, 0.010];
    let sizes = [[8.382, 11.400, 7.600, 0.300], [8.250, 11.704, 7.600, 0.300]];
    let variance = |of: [f64; 4]| (0..4).map(|which| (by(of, which) * us[which]).powi(2)).sum::<f64>();
    let shared = by(sizes[0], 2) * by(sizes[1], 2) * us[2].powi(2);
    with_lift(&job, |fit| {
        let seats = [seat(0, 0), seat(1, 1)];
        assert_eq!(fit.value(seats[0]), Some(12_273_000));
        let covariance = fit.covariance(&seats);
        let near = |found: f64, expected: f64| (found / 1e12 / expected - 1.0).abs() < 1e-3;
        assert!(near(covariance[(0, 0)], variance(sizes[0])), "{covariance}");
        assert!(near(covariance[(1, 1)], variance(sizes[1])), "{covariance}");
        assert!(near(covariance[(0, 1)], shared), "{covariance} {shared}");
        assert!(shared > 0.0);
    });
}

/// The highest sum over every choice of rockers under a cap, in µm times millionths.
fn best(lobes: &[i64], ratios: &[i64], cap: i64, used: &mut Vec<usize>) -> Option<i64> {
    let Some((&lobe, rest)) = lobes.split_first() else { return Some(0) };
    let mut most = None;
    for (at, &ratio) in ratios.iter().enumerate() {
        let value = lobe * ratio;
        if used.contains(&at) || value > cap {
            continue;
        }
        used.push(at);
        let sum = best(rest, ratios, cap, used).map(|sum| sum + value);
        used.pop();
        most = most.max(sum);
    }
    most
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    #[test]
    fn prop_the_highest_total_under_a_cap_is_that_of_every_choice(
        lobes in prop::collection::vec(7_500_i64..=7_900, 3),
        ratios in prop::collection::vec(1_480_i64..=1_620, 6),
    ) {
        let ratios: Vec<i64> = ratios.iter().map(|ratio| ratio * 1_000).collect();
        let job = job(&lobes, &ratios, "limits = { lift = { max = 12.0, guard = false } }");
        let expected = best(&lobes, &ratios, 12_000_000_000, &mut Vec::new()).map(|sum| sum / 1_000);
        prop_assert_eq!(plan(&job).map(|plan| plan.summary.total), expected);
    }
}
