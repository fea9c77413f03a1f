//! Every proof is accepted as it stands and survives its text; whatever is accepted after a change is still true.

use crate::brute::{any_goal, exact_goal, shape};
use crate::chains::{Case, case, some_slack};
use pairwright_assign::{Evidence, Outcome, Problem, Solution, solve_with_proof};
use pairwright_proof::{
    Fault, Proof, Refutation, check_impossible, check_proof, check_shortage, parse_proof, write_proof,
};
use proptest::prelude::*;

/// The best values of the first levels, by enumeration.
fn best_values(problem: &Problem<'_>, levels: usize) -> Vec<i128> {
    (0..levels)
        .map(|level| {
            let criterion = &problem.criteria()[level];
            let values = crate::brute::left_after(problem, level).into_iter();
            let values = values.map(|choice| crate::brute::value(criterion, &choice));
            match criterion.sense {
                pairwright_assign::Sense::Least => values.min().unwrap(),
                pairwright_assign::Sense::Most => values.max().unwrap(),
            }
        })
        .collect()
}

fn accepted(problem: &Problem<'_>) -> Result<(Option<(Solution, Proof)>, usize), TestCaseError> {
    let (outcome, evidence) = solve_with_proof(problem);
    match (outcome, evidence) {
        (Outcome::Impossible(shortage), Evidence::Impossible(reason)) => {
            prop_assert_eq!(check_impossible(&problem.statement(), &reason), Ok(()));
            prop_assert_eq!(check_shortage(&problem.statement(), &shortage, &reason), Ok(()));
            Ok((None, 0))
        }
        (Outcome::Proven(solution) | Outcome::BestFound { solution, .. }, Evidence::Proof(proof)) => {
            let checked = check_proof(&problem.statement(), &solution.choice, &solution.values, &proof);
            let levels = proof.levels.len();
            prop_assert_eq!(checked.map(|checked| checked.levels), Ok(levels), "{}", write_proof(&proof));
            let claimed: Vec<i128> = proof.levels.iter().map(|level| level.best).collect();
            prop_assert_eq!(claimed, best_values(problem, levels));
            let text = write_proof(&proof);
            prop_assert_eq!(parse_proof(&text), Ok(proof.clone()), "{}", text);
            Ok((Some((solution, proof)), levels))
        }
        (outcome, evidence) => {
            prop_assert!(false, "{outcome:?} {evidence:?}");
            Ok((None, 0))
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(10_000))]

    #[test]
    fn prop_every_level_without_slack_is_proven(case in case(shape(1..=4, 3), exact_goal(), Just(0_i64).boxed())) {
        let problem = case.problem();
        if let (Some((solution, _)), levels) = accepted(&problem)? {
            prop_assert_eq!(levels, solution.values.len());
        }
    }

    #[test]
    fn prop_the_first_level_is_proven_whatever_its_slack(
        case in case(shape(1..=4, 3), exact_goal(), some_slack()),
    ) {
        if let (Some(_), levels) = accepted(&case.problem())? {
            prop_assert!(levels > 0 || case.problem().criteria().is_empty());
        }
    }

    #[test]
    fn prop_what_is_proven_is_true(case in case(shape(1..=3, 3), any_goal(), some_slack())) {
        accepted(&case.problem())?;
    }
}

/// A text with one of its numbers changed, or one of its lines lost, doubled or moved up.
fn changed(text: &str, kind: u8, place: usize, by: i64) -> String {
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let at = 1 + place % (lines.len() - 1);
    match kind {
        0 => drop(lines.remove(at)),
        1 => lines.insert(at, lines[at].clone()),
        2 => lines.swap(at, at.max(2) - 1),
        _ => {
            let words: Vec<&str> = text.split_inclusive([' ', '\n', '=']).collect();
            let is_number = |word: &&str| word.trim_end_matches([' ', '\n', '=']).parse::<i128>().is_ok();
            let numbers: Vec<usize> = (3..words.len()).filter(|&at| is_number(&words[at])).collect();
            if numbers.is_empty() {
                return text.to_owned();
            }
            let at = numbers[place % numbers.len()];
            let word = words[at].trim_end_matches([' ', '\n', '=']);
            let end = &words[at][word.len()..];
            // A large change goes to the ends of the number range.
            let scale = if by.unsigned_abs() > 1 << 62 { 1 << 64 } else { 1 };
            let number = word.parse::<i128>().unwrap().saturating_add(i128::from(by).saturating_mul(scale));
            return words[..at].concat() + &number.to_string() + end + &words[at + 1..].concat();
        }
    }
    lines.join("\n") + "\n"
}

/// A changed proof is refused, or what it says is true all the same.
fn refused_or_true(case: &Case, changes: &[(u8, usize, i64)]) -> Result<bool, TestCaseError> {
    let problem = case.problem();
    let (Some((solution, proof)), _) = accepted(&problem)? else {
        return Ok(false);
    };
    let text = write_proof(&proof);
    if text.lines().count() < 2 {
        return Ok(false);
    }
    let other = changes.iter().fold(text.clone(), |text, &(kind, place, by)| {
        if text.lines().count() < 2 { text } else { changed(&text, kind, place, by) }
    });
    let Ok(changed) = parse_proof(&other) else {
        return Ok(true);
    };
    match check_proof(&problem.statement(), &solution.choice, &solution.values, &changed) {
        Err(_) => Ok(true),
        Ok(checked) => {
            let claimed: Vec<i128> = changed.levels.iter().map(|level| level.best).collect();
            prop_assert_eq!(&claimed, &best_values(&problem, checked.levels), "{}", other);
            Ok(false)
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(20_000))]

    #[test]
    fn prop_a_changed_proof_is_refused_or_still_true(
        case in case(shape(1..=4, 3), exact_goal(), some_slack()),
        changes in prop::collection::vec(
            (0..8_u8, any::<usize>(), prop_oneof![6 => -3_i64..=3, 1 => any::<i64>()]),
            1..=3,
        ),
    ) {
        refused_or_true(&case, &changes)?;
    }
}

/// A wrong answer with any proof at hand is refused.
#[test]
fn a_worse_choice_is_refused_with_the_proof_of_a_better_one() {
    use pairwright_assign::{Criterion, Measure, Sense, Shape, Table};
    use pairwright_proof::{Choice, Item, evaluate};
    let table = Table::from_fn(Shape { slots: 3, items: 5 }, |slot, item| {
        Some(i64::from(slot.number() * slot.number() * 5 + item.number() * 7 % 11))
    })
    .unwrap();
    let goals = [
        (Measure::Spread, Sense::Least),
        (Measure::Total, Sense::Least),
        (Measure::Total, Sense::Most),
        (Measure::Greatest, Sense::Least),
        (Measure::Least, Sense::Most),
        (Measure::WorstFrom { target: 9 }, Sense::Least),
        (Measure::SquaresFrom { target: 9 }, Sense::Least),
        (Measure::SquaresAboutMean, Sense::Least),
    ];
    let mut refused = 0;
    for (measure, sense) in goals {
        let problem = Problem::new(vec![Criterion { table: &table, measure, sense, slack: 0 }], vec![]).unwrap();
        let (outcome, Evidence::Proof(proof)) = solve_with_proof(&problem) else { panic!("{measure:?}") };
        let best = outcome.solution().unwrap().values[0];
        for items in [[0, 1, 2], [4, 3, 1], [2, 0, 4], [1, 2, 3], [3, 4, 0]] {
            let choice = Choice::new(items.map(Item::new).to_vec());
            let value = evaluate(measure, &table, &choice).unwrap();
            if value == best {
                continue;
            }
            refused += 1;
            let claimed = check_proof(&problem.statement(), &choice, &[value], &proof);
            assert_eq!(claimed, Err(Fault::Best { level: 0, best }), "{measure:?}");
            let mut bent = proof.clone();
            bent.levels[0].best = value;
            let claimed = check_proof(&problem.statement(), &choice, &[value], &bent);
            assert!(matches!(claimed, Err(Fault::Reason { level: 0, .. })), "{measure:?}: {claimed:?}");
            bent.levels[0].reason = Refutation::Never;
            let claimed = check_proof(&problem.statement(), &choice, &[value], &bent);
            assert!(matches!(claimed, Err(Fault::Reason { level: 0, .. })), "{measure:?}: {claimed:?}");
        }
    }
    assert!(refused > 20);
}
