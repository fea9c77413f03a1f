//! Swept volume, compression, piston-to-head clearance and their uncertainty against published and
//! independently computed figures. Sources in full: `datasets/outside/engine/SOURCE.md`.

use pairwright_engine::fit::geometry::{circle, compression, cylinder};
use pairwright_engine::job::{Columns, FitName, Job, Positive};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_tests::build::{self, column, nm};
use pairwright_tests::derive::Stand;
use pairwright_tests::whole_engine::{self, Measured, cc, seat, with_fits};

/// A figure of the data file, by its name.
fn figure(id: &str) -> f64 {
    let path = concat!(env!("CARGO_MANIFEST_DIR"), "/../datasets/outside/engine/engine_geometry.csv");
    let mut rows =
        csv::ReaderBuilder::new().comment(Some(b'#')).from_path(path).expect("the data stands in the repository");
    let row = rows.records().map(|row| row.expect("a row")).find(|row| &row[0] == id).expect(id);
    row[3].parse().expect("a number")
}

const INCH: f64 = 25.4e6;

fn swept_in3(bore: f64, stroke: f64) -> f64 {
    cylinder(circle(bore * INCH), stroke * INCH) / 16_387_064.0
}

#[track_caller]
fn close(found: f64, expected: f64, relative: f64) {
    assert!((found / expected - 1.0).abs() <= relative, "found {found}, expected {expected}");
}

/// NAVEDTRA 14264 (Feb 1998), chapter 2, Fig. 2-24: 3.5 × 4 in, 38.43 in³ a cylinder and 307.44 in³ for eight,
/// reckoned there with π = 3.14 and 1.75² = 3.06. The manual's rounding is 0.15 %.
#[test]
fn displacement_of_a_navy_manual() {
    close(swept_in3(3.5, 4.0), 38.43, 0.0015);
    close(8.0 * swept_in3(3.5, 4.0), 307.44, 0.0015);
    close(swept_in3(3.5, 4.0), figure("disp_navy_cyl"), 1e-12);
    close(8.0 * cylinder(circle(3.5 * INCH), 4.0 * INCH) / 1e6, figure("disp_navy_total_cc"), 1e-12);
}

/// FAA-H-8083-32 volume 1, chapter 1: 5.5 × 5.5 in, 14 cylinders, 1829 in³; 140 in³ over 20 in³ is 7:1. The
/// example is from memory, its figures recomputed.
#[test]
fn displacement_and_ratio_of_an_aviation_handbook() {
    close(14.0 * swept_in3(5.5, 5.5), figure("disp_faa_total"), 1e-12);
    close(14.0 * swept_in3(5.5, 5.5), 1829.0, 0.0005);
    close(compression(120.0, 20.0).expect("room"), figure("cr_faa"), 1e-15);
}

/// Pulkrabek, Engineering Fundamentals of the Internal Combustion Engine, Example Problem 2-1: a square six of
/// 3 litres has a bore of 8.60 cm and at 9.5:1 a clearance volume of 59 cc. From memory, recomputed.
#[test]
fn a_square_six_of_three_litres() {
    let bore = figure("crank_bore") * 1e7;
    close(cylinder(circle(bore), bore) / 1e6, 500.0, 1e-12);
    close(compression(500.0, figure("crank_vc")).expect("room"), 9.5, 1e-12);
}

fn one() -> Stand {
    Stand { position: 0, piston: 0, rod: None, head: 0, gasket: 0 }
}

/// The worked engine: bore 100.076, stroke 86.868, gasket 101.854 × 1.0414 mm, chamber 61.4, dish 3.2 cc, and a
/// piston read at so many nm, the gauge known to 15 µm.
fn worked(reading: i64) -> Job {
    let only = Measured {
        banks: [1, 0],
        turned: false,
        read: false,
        by_cylinder: false,
        rods: false,
        gasket_volume: false,
        poured: false,
    };
    let mut job = whole_engine::job(only, &[0]);
    job.engine.crevice = None;
    job.stocks[1].columns = Columns::new(vec![column("chamber_1", &[cc(61_400_000)])]);
    let mut deck = build::readings(&[(0, 0, reading)]);
    deck.repeatability = Some(nm(15_000));
    job.deck = Some(deck);
    let known = [("bore", nm(5_000)), ("stroke", nm(10_000)), ("thickness", nm(25_400))];
    let volumes = [("chamber", cc(200_000)), ("dish", cc(200_000))];
    job.uncertainty = known.into_iter().chain(volumes).map(|(name, u)| (name.to_owned(), u)).collect();
    job
}

/// Value and standard uncertainty in ticks.
fn predicted(job: &Job, name: FitName) -> (f64, f64) {
    with_fits(job, |fits| {
        let fit = fits.iter().find(|fit| fit.name() == name).expect("nothing lacks");
        (fit.value(seat(one())).expect("predicted") as f64, fit.doubt(seat(one())).expect("predicted").u)
    })
}

/// The sign test: 0.1524 mm (0.0060 in) below and above the deck. Computed outside this project.
#[test]
fn a_piston_as_far_below_as_above_the_deck() {
    let (below, above) = (worked(-152_400), worked(152_400));
    close(predicted(&below, FitName::Compression).0, 1e6 * figure("cr_composed"), 1e-7);
    close(predicted(&above, FitName::Compression).0, 1e6 * figure("cr_composed_above"), 1e-7);
    close(predicted(&below, FitName::PistonToHead).0, 1e6 * figure("piston_to_head_below"), 1e-9);
    close(predicted(&above, FitName::PistonToHead).0, 1e6 * figure("piston_to_head_above"), 1e-9);
    close(predicted(&below, FitName::PistonToHead).0, 0.0470 * INCH, 1e-9);
    close(predicted(&above, FitName::PistonToHead).0, 0.0350 * INCH, 1e-9);
}

/// JCGM 100:2008, equation 10, computed outside this project; a Monte Carlo of 0.04568 agrees.
#[test]
fn the_uncertainty_of_the_worked_ratio() {
    let (_, u) = predicted(&worked(-152_400), FitName::Compression);
    close(u / 1e6, figure("cr_composed_u"), 1e-5);
    close(u / 1e6, 0.045_68, 0.005);
}

/// 43.434 + 148.300 + 39.5736 − 231.460 mm, known to 5, 8, 6 and 10 µm: 0.1524 mm below, known to 15 µm.
#[test]
fn deck_clearance_of_what_it_is_made_of() {
    let mut job = worked(0);
    job.deck = None;
    job.uncertainty =
        [("stroke", 10_000), ("rod_length", 8_000), ("compression_height", 6_000), ("deck_height", 10_000)]
            .map(|(name, u)| (name.to_owned(), nm(u)))
            .into();
    let (value, u) = predicted(&job, FitName::Deck);
    close(value, 1e6 * figure("deck_composed"), 1e-9);
    close(u, 1e6 * figure("deck_composed_u"), 1e-9);
}

/// TM 5-6640-212-14, page 5-26, Table 5-4: top of piston to top of cylinder −0.004 to +0.019 in (−0.010 to
/// 0.048 cm) in a compressor, where plus is below the top: a gauge read as `positive = "below"`.
#[test]
fn a_manual_that_counts_downward() {
    let thousandth = |thousandths: i64| Amount::new(thousandths * 25_400, Unit::Inch, 3);
    for (printed, cm) in [(-4, -0.010), (19, 0.048)] {
        let mut job = worked(0);
        let deck = job.deck.as_mut().expect("readings");
        deck.positive = Positive::Below;
        deck.rows[0].value = thousandth(printed);
        let (value, _) = predicted(&job, FitName::Deck);
        close(value, -(printed as f64) * 25_400.0, 1e-12);
        // Printed to a hundredth of a millimetre.
        assert!((value / 1e7 + cm).abs() <= 0.000_51, "{value}");
    }
}
