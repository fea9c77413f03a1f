//! Above is positive, and more of it is less room.

use super::build::{cc, column, first, inches, sign_job, stock, value};
use crate::job::FitName::{ClearanceVolume, Compression, Deck, PistonToHead};

#[test]
fn a_piston_below_the_deck() {
    let job = sign_job(60);
    assert_eq!(value(&job, Deck, first(0)), Some(-60 * 2_540));
    assert_eq!(value(&job, PistonToHead, first(0)), Some(470 * 2_540));
    assert_eq!(value(&job, Compression, first(0)), Some(10_198_443));
}

#[test]
fn a_piston_above_the_deck() {
    let job = sign_job(-60);
    assert_eq!(value(&job, PistonToHead, first(0)), Some(350 * 2_540));
    assert_eq!(value(&job, Compression, first(0)), Some(10_505_226));
}

#[test]
fn a_dome_a_recess_and_a_crevice() {
    let mut job = sign_job(0);
    let flat = value(&job, ClearanceVolume, first(0)).unwrap();
    job.stocks[0] = stock("piston", 1, vec![column("dish", &[cc(-50)])]);
    assert_eq!(value(&job, ClearanceVolume, first(0)), Some(flat - 8_200_000));
    job.engine.crevice = Some(cc(7));
    assert_eq!(value(&job, ClearanceVolume, first(0)), Some(flat - 7_500_000));
    job.stocks[1] = stock("head", 1, vec![column("chamber_1", &[cc(614)]), column("recess", &[inches(100)])]);
    assert_eq!(value(&job, ClearanceVolume, first(0)), Some(flat - 7_500_000), "the pour contains the recess");
    assert_eq!(value(&job, PistonToHead, first(0)), Some(510 * 2_540));
}

#[test]
fn a_measured_gasket_volume_goes_before_its_sizes() {
    let mut job = sign_job(60);
    let by_sizes = value(&job, ClearanceVolume, first(0)).unwrap();
    let sizes = [column("thickness", &[inches(410)]), column("bore", &[inches(40_100)])];
    job.stocks[2] = stock("gasket", 1, sizes.into_iter().chain([column("gasket", &[cc(90)])]).collect());
    // π/4 · 101.854² · 1.0414 mm³ = 8.485 23 cc
    assert_eq!(value(&job, ClearanceVolume, first(0)).unwrap() - by_sizes, 9_000_000 - 8_485_230);
}

#[test]
fn no_room_at_all_has_no_ratio() {
    let mut job = sign_job(0);
    job.stocks[0] = stock("piston", 1, vec![column("dish", &[cc(-4_000)])]);
    assert!(value(&job, ClearanceVolume, first(0)).unwrap() < 0);
    assert_eq!(value(&job, Compression, first(0)), None);
}
