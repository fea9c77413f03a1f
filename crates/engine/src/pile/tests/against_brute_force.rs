//! The best of given parts, against every arrangement of them.

use proptest::prelude::*;

use super::{EVERY, measured};
use crate::pile::solve::{Choice, best, by_choice};
use crate::pile::{Fitting, Line, Numbers, Sought};
use crate::readings::PositionId;

/// The best over all arrangements of parts in positions.
fn brute(fit: &Line, parts: &[f64], sought: Sought) -> Option<f64> {
    fn place(fit: &Line, parts: &[f64], used: &mut Vec<usize>, values: &mut Vec<f64>, found: &mut dyn FnMut(&[f64])) {
        if values.len() == fit.positions() {
            found(values);
            return;
        }
        let position = PositionId::new(u32::try_from(values.len()).unwrap());
        for (index, &part) in parts.iter().enumerate() {
            let Some(value) = fit.value(position, &[part]).filter(|_| !used.contains(&index)) else { continue };
            used.push(index);
            values.push(value);
            place(fit, parts, used, values, found);
            used.pop();
            values.pop();
        }
    }
    let mut best: Option<f64> = None;
    place(fit, parts, &mut Vec::new(), &mut Vec::new(), &mut |values| {
        let value = measured(sought, values);
        if best.is_none_or(|best| sought.gain(best, value) > 0.0) {
            best = Some(value);
        }
    });
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    #[test]
    fn prop_every_aim_is_solved_as_by_trying_everything(
        effects in prop::collection::vec(-40_i32..40, 1..4),
        parts in prop::collection::vec(1_000_i32..1_100, 1..6),
        limits in (980_i32..1_020, 1_060_i32..1_120),
        limited in any::<bool>(),
    ) {
        let line = Line::adding(effects.iter().map(|&effect| f64::from(effect)));
        let (low, high) = limits;
        let fit = if limited { line.within(Some(low.into()), Some(high.into())) } else { line };
        let parts: Vec<f64> = parts.iter().map(|&part| f64::from(part)).collect();
        for sought in EVERY {
            let (found, known) = (best(&fit, Choice { stock: &Numbers::default(), further: &Numbers::single(parts.clone()) }, sought).unwrap().aim(), brute(&fit, &parts, sought));
            prop_assert_eq!(found.is_some(), known.is_some());
            if let (Some(found), Some(known)) = (found, known) {
                prop_assert!((found - known).abs() < 1e-6, "{:?}: {} {}", sought, found, known);
            }
        }
    }

    #[test]
    fn prop_the_short_way_to_a_total_is_the_long_one(
        effects in prop::collection::vec(-40_i32..40, 1..9),
        parts in prop::collection::vec(1_000_i32..1_100, 1..30),
        sign in prop::sample::select(vec![-1.0, 1.0]),
    ) {
        let fit = Line::new(effects.iter().map(|&effect| (f64::from(effect), sign)));
        let parts: Vec<f64> = parts.iter().map(|&part| f64::from(part)).collect();
        for sought in [Sought::HIGHEST, Sought::LOWEST] {
            let stock = Numbers::single(parts.clone());
            let all = Choice { stock: &stock, further: &Numbers::default() };
            prop_assert_eq!(best(&fit, all, sought).unwrap(), by_choice(&fit, all, sought).unwrap());
        }
    }

    /// Sieved parts are chosen from as all of them are, under limits on single values too.
    #[test]
    fn prop_a_sieve_loses_nothing(
        effects in prop::collection::vec(-400_i32..400, 1..6),
        parts in prop::collection::vec(0_i32..3_000, 30..70),
        low in 0_i32..1_500,
        sign in prop::sample::select(vec![-1.0, 0.0, 1.0]),
    ) {
        // Where the sign is 0 all parts come to the same in a position.
        let lines = effects.iter().enumerate().map(|(at, &effect)| (f64::from(effect), if at == 0 { sign } else { 1.0 }));
        let fit = Line::new(lines).within_at(PositionId::new(0), Some(low.into()), None);
        let parts: Vec<f64> = parts.iter().map(|&part| f64::from(part)).collect();
        let (stock, further) = parts.split_at(10);
        let (stock, further) = (Numbers::single(stock.to_vec()), Numbers::single(further.to_vec()));
        let all = Choice { stock: &stock, further: &further };
        for sought in EVERY {
            prop_assert_eq!(best(&fit, all, sought).unwrap(), by_choice(&fit, all, sought).unwrap(), "{:?}", sought);
        }
    }
}
