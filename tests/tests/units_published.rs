//! Printed pairs of figures in two units, as a manual gives them (`datasets/outside/limits/SOURCE.md`).

use pairwright_engine::quantity::{Amount, Bound, Expected, Unit, rounded_text};

fn amount(name: &str, text: &str) -> Amount {
    let bound = Bound::named(name).expect("known");
    Amount::parse(text, &Expected { bound, unit: None, comma: false }).expect("a sound figure")
}

/// Whether `printed` is `exact` rounded to the digits printed.
fn agrees(exact: &str, printed: Amount) -> bool {
    let exact = amount(if printed.unit() == Unit::Ounce { "mass" } else { "skirt" }, exact);
    rounded_text(exact.ticks(), printed.unit(), printed.decimals())
        == printed.to_string().split(' ').next().expect("a number")
}

/// TM 10-3930-653-14&P prints 5 g (0.18 oz) and 2 g (0.0705 oz): both agree.
#[test]
fn pairs_that_agree() {
    assert!(agrees("5 g", amount("mass", "0.18 oz")));
    assert!(agrees("2 g", amount("mass", "0.0705 oz")));
}

/// Clearance limits of the same manual, 0.025 to 0.045 mm (0.0010 to 0.0018 in).
#[test]
fn clearances_that_agree() {
    assert!(agrees("0.025 mm", amount("skirt", "0.0010 in")));
    assert!(agrees("0.045 mm", amount("skirt", "0.0018 in")));
}

/// 0.001 in printed as 0.05 mm (TM 5-6115-593-34) and 0.00475 in printed as 0.119 mm
/// (TM 5-3895-369-14) disagree, as scanned: a unit guard must not take one for the other.
#[test]
fn pairs_that_disagree_are_not_taken_for_equal() {
    assert!(!agrees("0.001 in", amount("skirt", "0.05 mm")));
    assert!(!agrees("0.00475 in", amount("skirt", "0.119 mm")));
    // A sister manual prints the second as 0.12065 mm, which is exact.
    assert_eq!(amount("skirt", "0.00475 in").ticks(), amount("skirt", "0.12065 mm").ticks());
}
