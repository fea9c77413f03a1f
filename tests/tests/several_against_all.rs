//! Several parts of one kind a position, on small jobs against every choice there is.

use pairwright_engine::job::{
    Aim, Columns, DeclaredFit, DeclaredFits, DeclaredId, FitName, Goal, Job, LimitAsked, Measured, Next, Pin,
    Positions, Role, Stock, Term,
};
use pairwright_engine::outcome::{Outcome, Planned, Rechecked, match_job, recheck};
use pairwright_engine::plan::{Standing, Taken};
use pairwright_engine::quantity::Dimension;
use pairwright_tests::{build, no_plan};
use proptest::prelude::*;

const OWN: FitName = FitName::Declared(DeclaredId::new(0));

/// A small job: housings less parts, the two roles with these factors.
#[derive(Clone, Debug)]
struct Case {
    journals: Vec<i64>,
    shells: Vec<i64>,
    /// How often the lower part counts; the upper one counts once.
    lower: i64,
    aim: (Goal, Measured),
    limits: (Option<i64>, Option<i64>),
    /// This shell is kept as the lower one of the first journal.
    kept: Option<usize>,
    /// Where shells stand now.
    at: Vec<Option<usize>>,
    then: Option<Vec<Next>>,
}

fn term(owner: &str, column: &str, times: i64) -> Term {
    Term { owner: owner.to_owned(), column: column.to_owned(), times: times * Term::ONCE }
}

fn job(case: &Case) -> Job {
    let nm = |values: &[i64]| values.iter().map(|&value| build::nm(value)).collect::<Vec<_>>();
    let mut job = build::job(0, case.shells.len());
    job.banks.clear();
    job.positions = vec![Positions {
        kind: "journal".to_owned(),
        ids: (1..=case.journals.len()).map(|at| at.to_string()).collect(),
        banks: vec![None; case.journals.len()],
        lines: vec![0; case.journals.len()],
        columns: Columns::new(vec![build::column("room", &nm(&case.journals))]),
        ..Positions::default()
    }];
    let mut parts = job.stocks.remove(0).parts;
    parts.iter_mut().zip(&case.at).for_each(|(part, at)| part.at = at.filter(|&at| at < case.journals.len()));
    job.stocks = vec![Stock {
        kind: "shell".to_owned(),
        positions: "journal".to_owned(),
        file: "shells.csv".to_owned(),
        parts,
        columns: Columns::new(vec![build::column("thickness", &nm(&case.shells))]),
    }];
    let terms =
        vec![term("journal", "room", 1), term("upper", "thickness", -1), term("lower", "thickness", -case.lower)];
    job.fits = DeclaredFits::new(vec![DeclaredFit::new("clearance".to_owned(), terms, Dimension::Length)]);
    let matching = &mut job.matches[0];
    matching.place = vec![Role::called("shell", "upper"), Role::called("shell", "lower")];
    matching.aim = Aim { fit: OWN, goal: case.aim.0, by: case.aim.1, slack: None };
    let (min, max) = case.limits;
    let (min, max) = (min.map(build::nm), max.map(build::nm));
    matching.limits = vec![LimitAsked { fit: OWN, min, max, spread: None, neighbours: None, guard: false, line: 1 }];
    matching.keep = case.kept.map(|part| Pin { position: 0, part, role: 1 }).into_iter().collect();
    matching.then.clone_from(&case.then);
    job
}

/// A choice: upper and lower shell of every journal.
type Choice = Vec<[usize; 2]>;

impl Case {
    fn values(&self, choice: &Choice) -> Vec<i64> {
        let value =
            |(room, &[upper, lower]): (&i64, &[usize; 2])| room - self.shells[upper] - self.lower * self.shells[lower];
        self.journals.iter().zip(choice).map(value).collect()
    }

    /// Every choice that keeps the rules; where both roles count alike, only with the earlier shell as the upper one.
    fn choices(&self) -> Vec<Choice> {
        let mut all = vec![Vec::new()];
        for journal in 0..self.journals.len() {
            let mut longer = Vec::new();
            for choice in &all {
                let used = |part: usize| choice.iter().flatten().any(|&other| other == part);
                for upper in (0..self.shells.len()).filter(|&part| !used(part)) {
                    for lower in (0..self.shells.len()).filter(|&part| part != upper && !used(part)) {
                        let told = self.lower != 1 || self.kept.is_some();
                        let kept = journal != 0 || self.kept.is_none_or(|part| part == lower);
                        if kept && (told || upper < lower) {
                            let mut next: Choice = choice.clone();
                            next.push([upper, lower]);
                            longer.push(next);
                        }
                    }
                }
            }
            all = longer;
        }
        let (min, max) = (self.limits.0.unwrap_or(i64::MIN), self.limits.1.unwrap_or(i64::MAX));
        all.retain(|choice| self.values(choice).iter().all(|value| (min..=max).contains(value)));
        all
    }

    /// The aim, turned so that less is better.
    fn aim(&self, choice: &Choice) -> i128 {
        let values: Vec<i128> = self.values(choice).into_iter().map(i128::from).collect();
        let (least, most) = (*values.iter().min().expect("some"), *values.iter().max().expect("some"));
        let total: i128 = values.iter().sum();
        match self.aim {
            (Goal::Even, Measured::Squares) => squares(&values),
            (Goal::Even, _) => most - least,
            (Goal::Near(target), Measured::Squares) => {
                values.iter().map(|value| (value - i128::from(target.ticks())).pow(2)).sum()
            }
            (Goal::Near(target), _) => {
                values.iter().map(|value| (value - i128::from(target.ticks())).abs()).max().expect("some")
            }
            (Goal::Highest, Measured::Extreme) => -least,
            (Goal::Highest, _) => -total,
            (Goal::Lowest, Measured::Extreme) => most,
            (Goal::Lowest, _) => total,
        }
    }

    /// Aim, spread and squares.
    fn key(&self, choice: &Choice) -> [i128; 3] {
        let values: Vec<i128> = self.values(choice).into_iter().map(i128::from).collect();
        let spread = values.iter().max().expect("some") - values.iter().min().expect("some");
        [self.aim(choice), spread, squares(&values)]
    }

    /// Whether spread and squares are searched over all choices, and nothing else is asked for.
    fn is_settled(&self) -> bool {
        let by_range = !matches!(self.aim.1, Measured::Squares | Measured::Total);
        by_range && self.then.is_none() && self.at.iter().all(Option::is_none)
    }
}

/// n times the squares about the mean.
fn squares(values: &[i128]) -> i128 {
    let total: i128 = values.iter().sum();
    values.len() as i128 * values.iter().map(|value| value * value).sum::<i128>() - total * total
}

fn choice_of(planned: &Planned) -> Choice {
    planned.plan.placements.iter().map(|place| [place.parts[0], place.parts[1]]).collect()
}

fn aims() -> impl Strategy<Value = (Goal, Measured)> {
    prop_oneof![
        Just((Goal::Even, Measured::Spread)),
        Just((Goal::Even, Measured::Squares)),
        Just((Goal::Near(build::nm(1_000)), Measured::Worst)),
        Just((Goal::Near(build::nm(1_000)), Measured::Squares)),
        Just((Goal::Highest, Measured::Total)),
        Just((Goal::Highest, Measured::Extreme)),
        Just((Goal::Lowest, Measured::Total)),
        Just((Goal::Lowest, Measured::Extreme)),
    ]
}

fn cases() -> impl Strategy<Value = Case> {
    let sizes = (2_usize..=3).prop_flat_map(|journals| (Just(journals), 2 * journals..=2 * journals + 2));
    sizes.prop_flat_map(|(journals, shells)| {
        let limit = |from: i64| proptest::option::weighted(0.4, from..from + 1_500);
        let then = prop_oneof![
            4 => Just(None),
            1 => Just(Some(vec![Next::Moves])),
            1 => Just(Some(vec![Next::Spread(OWN)])),
        ];
        (
            proptest::collection::vec(4_800_i64..5_400, journals),
            proptest::collection::vec(1_800_i64..2_200, shells),
            prop_oneof![3 => Just(1_i64), 1 => Just(2_i64)],
            aims(),
            (limit(-1_500), limit(300)),
            proptest::option::weighted(0.3, 0..shells),
            proptest::collection::vec(proptest::option::weighted(0.2, 0..journals), shells),
            then,
        )
            .prop_map(|(journals, shells, lower, aim, limits, kept, at, then)| Case {
                journals,
                shells,
                lower,
                aim,
                limits,
                kept,
                at: if then.is_some() { at } else { vec![None; at.len()] },
                then,
            })
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, ..ProptestConfig::default() })]

    /// The aim is the best there is and proven, spread and squares after it are the least, and of equals the first is taken;
    /// where there is no plan there is no choice, and what is called enough is.
    #[test]
    fn the_plan_is_the_best_of_all_choices(case in cases()) {
        let job = job(&case);
        let all = case.choices();
        let report = match_job(&job, None).expect("the checker accepts the answer").matches.remove(0);
        match report.outcome {
            Outcome::Planned(planned) => {
                let found = choice_of(&planned);
                prop_assert!(all.contains(&found), "{found:?}");
                let best = all.iter().map(|choice| case.aim(choice)).min().expect("there is one");
                prop_assert_eq!(case.aim(&found), best);
                let Standing::Proven { levels, of, settled, .. } = planned.standing else {
                    return Err(TestCaseError::fail(format!("{:?}", planned.standing)));
                };
                // Small enough to be proven to the last criterion.
                prop_assert_eq!((levels, settled), (of, of));
                if case.is_settled() {
                    let first = all.iter().min_by_key(|choice| case.key(choice)).expect("there is one");
                    prop_assert_eq!(&found, first);
                }
                let checked = recheck(&job, 0, &Taken::default(), &planned.certificate).expect("holds");
                prop_assert!(matches!(checked, Rechecked::True(checked) if checked.levels == levels && checked.of == of));
                let mut used: Vec<usize> = found.iter().flatten().copied().chain(planned.plan.left_out.clone()).collect();
                used.sort_unstable();
                prop_assert_eq!(used, (0..case.shells.len()).collect::<Vec<_>>());
            }
            Outcome::Impossible(why) => {
                prop_assert!(all.is_empty(), "{} choices", all.len());
                no_plan::assert_proven(&job, &why.no_plan);
                for culprit in &why.culprits {
                    let pairwright_engine::plan::Culprit::Limit { kind, enough: Some(ticks), .. } = culprit else { continue };
                    let moved = |ticks: i64| {
                        let mut wider = case.clone();
                        match kind {
                            pairwright_engine::plan::LimitKind::Side(pairwright_engine::job::Bounding::Min) => {
                                wider.limits.0 = wider.limits.0.map(|min| min - ticks);
                            }
                            _ => wider.limits.1 = wider.limits.1.map(|max| max + ticks),
                        }
                        !wider.choices().is_empty()
                    };
                    prop_assert!(moved(*ticks) && !moved(ticks - 1), "{culprit:?}");
                }
            }
            other => prop_assert!(false, "{:?}", other),
        }
    }

    /// What a runner-up, a part left out and another set of parts cost is what the best such choice costs.
    #[test]
    fn what_else_there_is_costs_what_it_says(case in cases()) {
        // Where not all criteria are searched over all choices the aim is, all the same.
        let told_by = if case.is_settled() { 3 } else { 1 };
        let job = job(&case);
        let all = case.choices();
        let report = match_job(&job, None).expect("the checker accepts the answer").matches.remove(0);
        let Outcome::Planned(planned) = report.outcome else { return Ok(()) };
        let mine = choice_of(&planned);
        let told = |plan: &pairwright_engine::explain::Alternative| match plan {
            pairwright_engine::explain::Alternative::Found { parts, seconds, .. } => {
                Some(parts.iter().zip(seconds).map(|(&upper, &lower)| [upper, lower]).collect::<Choice>())
            }
            _ => None,
        };
        let key = |choice: &Choice| case.key(choice)[..told_by].to_vec();
        let best = |wanted: &dyn Fn(&Choice) -> bool| all.iter().filter(|choice| wanted(choice)).map(key).min();
        for runner in &planned.explanation.runners_up {
            let at = runner.position;
            let found = told(&runner.plan);
            prop_assert_eq!(found.as_ref().map(key), best(&|choice| choice[at] != mine[at]));
            prop_assert!(found.is_none_or(|one| one[at] != mine[at]));
        }
        for forced in &planned.explanation.forced_in {
            let found = told(&forced.plan);
            prop_assert_eq!(
                found.as_ref().map(key),
                best(&|choice| choice.iter().flatten().any(|&part| part == forced.part))
            );
        }
    }
}

/// Each shell is used once over the job: a second match has what the first one left.
#[test]
fn two_matches_share_one_pile() {
    let case = Case {
        journals: vec![5_000, 5_100],
        shells: vec![2_000, 2_010, 2_020, 2_030, 2_050, 2_060, 2_070, 2_080],
        lower: 1,
        aim: (Goal::Even, Measured::Spread),
        limits: (None, None),
        kept: None,
        at: vec![None; 8],
        then: None,
    };
    let mut job = job(&case);
    // The same journals under another name, so that one stock serves both matches.
    let second = Positions { ids: vec!["3".to_owned(), "4".to_owned()], order: vec![0, 1], ..job.positions[0].clone() };
    job.positions.push(second);
    let mut again = job.matches[0].clone();
    again.name = "again".to_owned();
    again.positions = 1;
    job.matches.push(again);
    let report = match_job(&job, None).expect("checked");
    let used: Vec<usize> = report
        .matches
        .iter()
        .flat_map(|one| match &one.outcome {
            Outcome::Planned(planned) => choice_of(planned).concat(),
            _ => Vec::new(),
        })
        .collect();
    let mut sorted = used.clone();
    sorted.sort_unstable();
    assert_eq!(sorted, (0..8).collect::<Vec<_>>(), "{used:?}");
}
