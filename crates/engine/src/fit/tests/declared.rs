//! Declared sums: values, shared errors, and what they lack.

use super::build::{cast, column, job, stock, um};
use crate::fit::{Cast, Seat, fits};
use crate::job::{Columns, DeclaredFit, DeclaredFits, Job, Positions, Term};
use crate::quantity::Dimension;

fn term(owner: &str, column: &str, times: i64) -> Term {
    Term { owner: owner.to_owned(), column: column.to_owned(), times }
}

fn declare(job: &mut Job, terms: Vec<Term>) {
    job.fits = DeclaredFits::new(vec![DeclaredFit::new("own".to_owned(), terms, Dimension::Length)]);
}

/// Two cylinders of 80.000 and 80.010 mm, pistons of 79.950 and 79.940 mm, each size ± 1 µm or what is typed.
fn bored() -> Job {
    let mut job = job(2);
    job.positions[0].columns = Columns::new(vec![column("bore", &[um(80_000), um(80_010)])]);
    job.stocks = vec![stock("piston", 2, vec![column("diameter", &[um(79_950), um(79_940)])])];
    job.uncertainty = vec![("bore".to_owned(), um(3)), ("diameter".to_owned(), um(4))];
    job
}

fn seat(cast: &Cast, position: usize, part: usize) -> Seat {
    Seat::empty(position).with(cast.role("piston").unwrap(), part)
}

#[test]
fn a_declared_skirt_is_the_built_in_one_error_for_error() {
    let mut job = bored();
    declare(&mut job, vec![term("cylinder", "bore", Term::ONCE), term("piston", "diameter", -Term::ONCE)]);
    let all = fits(&job, &cast(), None, None);
    let skirt = all[4].as_ref().unwrap();
    let own = all.last().unwrap().as_ref().unwrap();
    for (position, part) in [(0, 0), (0, 1), (1, 0), (1, 1)] {
        let seat = seat(&cast(), position, part);
        assert_eq!(own.value(seat), skirt.value(seat));
        assert_eq!(own.doubt(seat), skirt.doubt(seat));
        assert!((own.doubt(seat).unwrap().u - 5_000.0).abs() < 1e-9);
    }
    // Both fits read the same bore: the covariance of one with the other is the whole variance.
    let seat = seat(&cast(), 0, 0);
    let both = crate::fit::joint_covariance(&[own.errors(seat).unwrap(), skirt.errors(seat).unwrap()], None);
    assert!((both[(0, 1)] - 25e6).abs() < 1e-3, "{both}");
}

#[test]
fn two_terms_of_one_column_follow_one_error() {
    let mut job = bored();
    let halves = vec![term("piston", "diameter", 500_000), term("piston", "diameter", 500_000)];
    declare(&mut job, halves);
    let found = fits(&job, &cast(), None, None);
    let own = found.last().unwrap().as_ref().unwrap();
    let there = seat(&cast(), 1, 0);
    assert_eq!(own.value(there), Some(79_950_000));
    assert!((own.doubt(there).unwrap().u - 4_000.0).abs() < 1e-9, "not 4/√2");

    drop(found);
    declare(&mut job, vec![term("piston", "diameter", Term::ONCE), term("piston", "diameter", -Term::ONCE)]);
    let found = fits(&job, &cast(), None, None);
    let own = found.last().unwrap().as_ref().unwrap();
    assert_eq!((own.value(there), own.doubt(there).unwrap().u), (Some(0), 0.0));
}

#[test]
fn kinds_of_any_name_are_looked_up() {
    let mut job = job(0);
    job.positions = vec![Positions {
        kind: "journal".to_owned(),
        ids: vec!["1".to_owned()],
        banks: vec![None],
        lines: vec![2],
        columns: Columns::new(vec![column("housing", &[um(64_015)]), column("diameter", &[um(60_000)])]),
        ..Positions::default()
    }];
    job.stocks = vec![stock("shell", 2, vec![column("wall", &[um(1_985), um(1_990)])])];
    declare(
        &mut job,
        vec![
            term("journal", "housing", Term::ONCE),
            term("journal", "diameter", -Term::ONCE),
            term("shell", "wall", -2 * Term::ONCE),
        ],
    );
    let cast = Cast::new(["shell"], ["shell"]);
    let found = fits(&job, &cast, None, None);
    let own = found.last().unwrap().as_ref().unwrap();
    let value = |part| own.value(Seat::empty(0).with(0, part));
    assert_eq!([value(0), value(1)], [Some(45_000), Some(35_000)]);
    assert_eq!(own.value(Seat::empty(0)), None, "nothing stands there");
}

#[test]
fn what_is_not_there_is_named_in_one_go() {
    let mut job = bored();
    declare(
        &mut job,
        vec![
            term("cylinder", "lip", Term::ONCE),
            term("piston", "wall", -Term::ONCE),
            term("rocker", "ratio", Term::ONCE),
        ],
    );
    let found = fits(&job, &cast(), None, None);
    let lack = found.last().unwrap().as_ref().unwrap_err();
    assert_eq!(
        lack.what,
        "values in the column `lip` of `cylinder`; values in the column `wall` of `piston`; parts or positions `rocker`"
    );
    drop(found);
    declare(&mut job, Vec::new());
    let found = fits(&job, &cast(), None, None);
    assert_eq!(found.last().unwrap().as_ref().unwrap_err().what, "columns to add up");
}
