//! Errors in common cancel in differences, and in nothing else.

use super::build::{ask, cc, column, first, inches, job, readings, sign_job, stock};
use crate::fit::Seat;
use crate::job::FitName::{ClearanceVolume, Compression, PistonToHead};
use crate::quantity::{Amount, Unit};
use crate::statistics::Dof;

fn close(found: f64, expected: f64) {
    assert!((found - expected).abs() <= 1e-6 * expected.abs().max(1.0), "{found} {expected}");
}

#[test]
fn one_gasket_type_is_one_error() {
    let mut job = job(2);
    job.uncertainty = vec![("thickness".to_owned(), inches(10))];
    job.stocks =
        vec![stock("piston", 2, vec![]), stock("gasket", 2, vec![column("thickness", &[inches(410), inches(410)])])];
    job.deck = Some(readings(&[(0, 0, None, inches(0)), (1, 0, None, inches(0)), (0, 1, None, inches(0))]));
    let seat = |position: usize, gasket: usize| Seat::empty(position).with(0, position).with(2, gasket);
    let of = |gaskets: [usize; 2]| {
        ask(&job, PistonToHead, |fit| fit.covariance(&[seat(0, gaskets[0]), seat(1, gaskets[1])]))
    };
    let (same, apart) = (of([0, 0]), of([0, 1]));
    close(same[(0, 0)], apart[(0, 0)]);
    close(same[(0, 1)] - apart[(0, 1)], 25_400.0 * 25_400.0);
}

#[test]
fn the_covariance_of_a_seat_with_itself_is_its_variance() {
    for name in [PistonToHead, ClearanceVolume, Compression] {
        ask(&sign_job(60), name, |fit| {
            let covariance = fit.covariance(&[first(0), first(0)]);
            let variance = fit.doubt(first(0)).unwrap().u.powi(2);
            for value in covariance.iter() {
                close(*value, variance);
            }
        });
    }
}

/// By hand: with everything typed, the budget of the ratio is that of its sensitivities.
#[test]
fn the_budget_of_a_ratio() {
    let mut job = sign_job(60);
    job.uncertainty = vec![("chamber".to_owned(), cc(2)), ("dish".to_owned(), cc(2)), ("bore".to_owned(), inches(2))];
    ask(&job, Compression, |fit| {
        let doubt = fit.doubt(first(0)).unwrap();
        let (swept, clearance) = (683.300_654_f64, 74.283_9_f64);
        let by_volume = swept / (clearance * clearance);
        // 0.2 cc twice; the bore sweeps and lies above the crown; gasket and reading by their typed digits.
        assert!(doubt.u / 1e6 > by_volume * 0.2 * 2.0_f64.sqrt());
        assert!(doubt.u / 1e6 < by_volume * 0.2 * 2.0_f64.sqrt() * 1.1);
        assert_eq!(doubt.dof, Dof::INFINITE);
    });
}

#[test]
fn an_uncertainty_of_one_chamber_goes_before_that_of_all() {
    let mut job = sign_job(60);
    job.engine.crevice = None;
    let u = |job: &crate::job::Job| ask(job, ClearanceVolume, |fit| fit.doubt(first(0)).unwrap().u);
    let chamber = |uncertainties: &[(&str, i64)]| {
        let mut columns = vec![column("chamber_1", &[cc(614)])];
        columns.extend(uncertainties.iter().map(|(name, tenths)| column(name, &[cc(*tenths)])));
        stock("head", 1, columns)
    };
    let floor = u(&job);
    job.uncertainty = vec![("chamber".to_owned(), cc(3))];
    let all = u(&job);
    job.stocks[1] = chamber(&[("u_chamber", 4)]);
    let row = u(&job);
    job.stocks[1] = chamber(&[("u_chamber", 4), ("u_chamber_1", 5)]);
    let one = u(&job);
    let step = (1e5 / 12.0_f64.sqrt()).powi(2);
    close(all * all - floor * floor, 3e5 * 3e5 - step);
    close(row * row - floor * floor, 4e5 * 4e5 - step);
    close(one * one - floor * floor, 5e5 * 5e5 - step);
    // A figure finer than the typed decimals does not make them finer.
    job.stocks[1] = stock(
        "head",
        1,
        vec![column("chamber_1", &[cc(614)]), column("u_chamber", &[Amount::new(1_000, Unit::CubicCentimetre, 3)])],
    );
    close(u(&job), floor);
}
