//! Several parts of one kind a position with limits over all positions, counts and prices: small jobs against every choice
//! there is.

use pairwright::plan_file::{self, Said};
use pairwright_engine::job::{
    Aim, Buying, Column, Columns, DeclaredFit, DeclaredFits, DeclaredId, FitName, Goal, Job, LimitAsked, Measured,
    Next, Part, Positions, Role, Stock, Term,
};
use pairwright_engine::outcome::{Outcome, Rechecked, match_job, recheck};
use pairwright_engine::plan::{Certificate, Culprit, LimitKind, LimitState, Standing, Taken, Witness};
use pairwright_engine::quantity::{Amount, Dimension, Unit};
use pairwright_tests::build;
use proptest::prelude::*;

const CLEARANCE: FitName = FitName::Declared(DeclaredId::new(0));
const WIDTHS: FitName = FitName::Declared(DeclaredId::new(1));

/// A row of the stock.
#[derive(Clone, Debug)]
struct Row {
    thickness: i64,
    width: i64,
    count: Option<u32>,
    price: Option<i64>,
    at: Option<usize>,
}

#[derive(Clone, Debug)]
struct Case {
    journals: Vec<i64>,
    rows: Vec<Row>,
    aim: (Goal, Measured),
    slack: bool,
    /// Spread and neighbours of the clearance, then of the widths.
    limits: [(Option<i64>, Option<i64>); 2],
    max: Option<i64>,
    first: Vec<Next>,
    spend: Option<i64>,
    then: Option<Vec<Next>>,
}

fn term(owner: &str, column: &str, times: i64) -> Term {
    Term { owner: owner.to_owned(), column: column.to_owned(), times: times * Term::ONCE }
}

fn money(cents: i64) -> Amount {
    Amount::new(cents, Unit::Money, 2)
}

fn job(case: &Case) -> Job {
    let nm = |values: Vec<i64>| values.into_iter().map(build::nm).collect::<Vec<_>>();
    let mut job = build::job(0, case.rows.len());
    job.banks.clear();
    job.positions = vec![Positions {
        kind: "journal".to_owned(),
        ids: (1..=case.journals.len()).map(|at| at.to_string()).collect(),
        banks: vec![None; case.journals.len()],
        lines: vec![0; case.journals.len()],
        columns: Columns::new(vec![build::column("room", &nm(case.journals.clone()))]),
        ..Positions::default()
    }];
    let mut parts: Vec<Part> = job.stocks.remove(0).parts;
    for (part, row) in parts.iter_mut().zip(&case.rows) {
        (part.count, part.at) = (row.count, row.at.filter(|&at| at < case.journals.len()));
    }
    let prices = case.rows.iter().map(|row| row.price.map(money)).collect();
    job.stocks = vec![Stock {
        kind: "shell".to_owned(),
        positions: "journal".to_owned(),
        file: "shells.csv".to_owned(),
        parts,
        columns: Columns::new(vec![
            build::column("thickness", &nm(case.rows.iter().map(|row| row.thickness).collect())),
            build::column("width", &nm(case.rows.iter().map(|row| row.width).collect())),
            Column { name: "price".to_owned(), values: prices },
        ]),
    }];
    let clearance = vec![term("journal", "room", 1), term("upper", "thickness", -1), term("lower", "thickness", -1)];
    let widths = vec![term("upper", "width", 1), term("lower", "width", 1)];
    job.fits = DeclaredFits::new(vec![
        DeclaredFit::new("clearance".to_owned(), clearance, Dimension::Length),
        DeclaredFit::new("widths".to_owned(), widths, Dimension::Length),
    ]);
    let matching = &mut job.matches[0];
    matching.place = vec![Role::called("shell", "upper"), Role::called("shell", "lower")];
    let slack = case.slack.then(|| build::nm(40));
    matching.aim = Aim { fit: CLEARANCE, goal: case.aim.0, by: case.aim.1, slack };
    let limit = |fit, (spread, neighbours): (Option<i64>, Option<i64>), max: Option<i64>| LimitAsked {
        fit,
        min: None,
        max: max.map(build::nm),
        spread: spread.map(build::nm),
        neighbours: neighbours.map(build::nm),
        guard: false,
        line: 1,
    };
    matching.limits = vec![limit(CLEARANCE, case.limits[0], case.max), limit(WIDTHS, case.limits[1], None)];
    matching.buying = Buying { first: case.first.clone(), spend: case.spend.map(money) };
    matching.then.clone_from(&case.then);
    job.with_pieces()
}

/// The rows of every journal, ascending.
type Choice = Vec<[usize; 2]>;

impl Case {
    fn choices(&self) -> Vec<Choice> {
        let mut all = vec![Vec::new()];
        for _ in &self.journals {
            let mut longer = Vec::new();
            for choice in &all {
                for upper in 0..self.rows.len() {
                    for lower in upper..self.rows.len() {
                        let mut next: Choice = choice.clone();
                        next.push([upper, lower]);
                        let used = |row: usize| next.iter().flatten().filter(|&&other| other == row).count();
                        let there = |row: usize| self.rows[row].count.map_or(1, |count| count as usize);
                        if [upper, lower].iter().all(|&row| used(row) <= there(row)) {
                            longer.push(next);
                        }
                    }
                }
            }
            all = longer;
        }
        all
    }

    fn values(&self, fit: FitName, choice: &Choice) -> Vec<i128> {
        let of = |(room, two): (&i64, &[usize; 2])| {
            let sum = |of: &dyn Fn(&Row) -> i64| two.iter().map(|&row| of(&self.rows[row])).sum::<i64>();
            i128::from(if fit == CLEARANCE { room - sum(&|row| row.thickness) } else { sum(&|row| row.width) })
        };
        self.journals.iter().zip(choice).map(of).collect()
    }

    fn price(&self, choice: &Choice) -> i128 {
        choice.iter().flatten().filter_map(|&row| self.rows[row].price).map(i128::from).sum()
    }

    /// How far limits are broken: spread and neighbours of the clearance, those of the widths, the greatest clearance, the
    /// price.
    fn beyond(&self, choice: &Choice) -> [i128; 6] {
        let over = |value: i128, most: Option<i64>| most.map_or(0, |most| (value - i128::from(most)).max(0));
        let mut all = [0; 6];
        for (at, fit) in [CLEARANCE, WIDTHS].into_iter().enumerate() {
            let values = self.values(fit, choice);
            all[2 * at] = over(spread(&values), self.limits[at].0);
            let apart = values.windows(2).map(|two| (two[0] - two[1]).abs()).max().unwrap_or(0);
            all[2 * at + 1] = over(apart, self.limits[at].1);
        }
        all[4] = over(self.values(CLEARANCE, choice).into_iter().max().unwrap_or(0), self.max);
        all[5] = over(self.price(choice), self.spend);
        all
    }

    fn next(&self, next: Next, choice: &Choice) -> i128 {
        let rows = || choice.iter().flatten().map(|&row| &self.rows[row]);
        match next {
            Next::Spread(fit) => spread(&self.values(fit, choice)),
            Next::Price => self.price(choice),
            Next::Bought => rows().filter(|row| row.price.is_some()).count() as i128,
            Next::Moves => {
                // One piece of a row stands there.
                let stay = |(journal, two): (usize, &[usize; 2])| {
                    let mut own = two.to_vec();
                    own.dedup();
                    own.iter().filter(|&&row| self.rows[row].at == Some(journal)).count()
                };
                2 * choice.len() as i128 - choice.iter().enumerate().map(stay).sum::<usize>() as i128
            }
        }
    }

    /// The criteria before the aim, the aim, and those after it; less is better.
    fn key(&self, choice: &Choice) -> (Vec<i128>, i128, Vec<i128>) {
        let values = self.values(CLEARANCE, choice);
        let total: i128 = values.iter().sum();
        let (least, most) = (*values.iter().min().expect("some"), *values.iter().max().expect("some"));
        let aim = match self.aim {
            (Goal::Even, Measured::Squares) => squares(&values),
            (Goal::Even, _) => most - least,
            (Goal::Near(target), _) => {
                values.iter().map(|value| (value - i128::from(target.ticks())).abs()).max().expect("some")
            }
            (Goal::Highest, Measured::Extreme) => -least,
            (Goal::Highest, _) => -total,
            (Goal::Lowest, Measured::Extreme) => most,
            (Goal::Lowest, _) => total,
        };
        let first = self.first.iter().map(|&next| self.next(next, choice)).collect();
        if let Some(then) = &self.then {
            return (first, aim, then.iter().map(|&next| self.next(next, choice)).collect());
        }
        let mut after = Vec::new();
        if !matches!(self.aim, (Goal::Even, Measured::Spread)) {
            after.push(spread(&values));
        }
        if self.aim != (Goal::Even, Measured::Squares) {
            after.push(squares(&values));
        }
        if self.rows.iter().any(|row| row.at.is_some_and(|at| at < self.journals.len())) {
            after.push(self.next(Next::Moves, choice));
        }
        (first, aim, after)
    }
}

fn spread(values: &[i128]) -> i128 {
    values.iter().max().expect("some") - values.iter().min().expect("some")
}

fn squares(values: &[i128]) -> i128 {
    let total: i128 = values.iter().sum();
    values.len() as i128 * values.iter().map(|value| value * value).sum::<i128>() - total * total
}

/// The rows of a plan's parts: pieces of a row stand one behind the other.
fn choice_of(case: &Case, job: &Job, parts: &[Vec<usize>]) -> Choice {
    let row = |part: usize| {
        let line = job.stocks[0].parts[part].line;
        (0..case.rows.len()).find(|&row| u32::try_from(row).expect("few") + 2 == line).expect("a row")
    };
    let two = |parts: &Vec<usize>| {
        let mut two = [row(parts[0]), row(parts[1])];
        two.sort_unstable();
        two
    };
    parts.iter().map(two).collect()
}

fn aims() -> impl Strategy<Value = (Goal, Measured)> {
    prop_oneof![
        Just((Goal::Even, Measured::Spread)),
        Just((Goal::Even, Measured::Squares)),
        Just((Goal::Near(build::nm(1_000)), Measured::Worst)),
        Just((Goal::Highest, Measured::Total)),
        Just((Goal::Highest, Measured::Extreme)),
        Just((Goal::Lowest, Measured::Total)),
        Just((Goal::Lowest, Measured::Extreme)),
    ]
}

fn rows(most: usize) -> impl Strategy<Value = Vec<Row>> {
    let count = prop_oneof![3 => Just(None), 1 => (1_u32..=3).prop_map(Some), 1 => Just(Some(Part::ANY))];
    let row = (1_800_i64..2_200, 0_i64..60, count, proptest::option::weighted(0.4, 1_i64..900));
    let row = (row, proptest::option::weighted(0.15, 0_usize..3))
        .prop_map(|((thickness, width, count, price), at)| Row { thickness, width: width * 10, count, price, at });
    proptest::collection::vec(row, 4..=most)
}

fn cases() -> impl Strategy<Value = Case> {
    let limit = |to: i64| (proptest::option::weighted(0.4, 1..to), proptest::option::weighted(0.3, 1..to));
    let first = prop_oneof![
        3 => Just(Vec::new()),
        1 => Just(vec![Next::Price]),
        1 => Just(vec![Next::Bought, Next::Price]),
        1 => Just(vec![Next::Moves]),
    ];
    let then = prop_oneof![
        3 => Just(None),
        1 => Just(Some(vec![Next::Price])),
        1 => Just(Some(vec![Next::Spread(WIDTHS), Next::Bought])),
        1 => Just(Some(vec![Next::Moves, Next::Spread(CLEARANCE)])),
    ];
    (2_usize..=3).prop_flat_map(move |journals| {
        (
            proptest::collection::vec(4_800_i64..5_400, journals),
            rows(if journals == 2 { 7 } else { 6 }),
            aims(),
            (limit(700), limit(900), proptest::option::weighted(0.2, 600_i64..1_500)),
            first.clone(),
            proptest::option::weighted(0.4, 0_i64..2_500),
            then.clone(),
            proptest::bool::weighted(0.2),
        )
            .prop_map(|(journals, rows, aim, (clearance, widths, max), first, spend, then, slack)| Case {
                journals,
                rows,
                aim,
                // What a slack on squares comes to is rounded.
                slack: slack && aim.1 != Measured::Squares,
                limits: [clearance, widths],
                max,
                first,
                spend,
                then,
            })
    })
}

/// The least that single limits have to give.
fn enough_for(all: &[[i128; 6]], at: usize) -> Option<i128> {
    let alone = all.iter().filter(|beyond| (0..6).all(|other| other == at || beyond[other] == 0));
    alone.map(|beyond| beyond[at]).min()
}

/// Certificates in which another choice, or none, is said to have the best value of a criterion.
fn without_the_best(job: &Job, certificate: &Certificate) -> Vec<Certificate> {
    let mut bent = Vec::new();
    for (at, level) in certificate.several.iter().enumerate() {
        let Some(witness) = &level.witness else { continue };
        let own = Witness { parts: certificate.parts.clone(), seconds: certificate.seconds.clone(), ..witness.clone() };
        let mut twice = witness.clone();
        // Of a type there may be two.
        let known = job.stocks[0].parts.iter().position(|part| !part.is_type());
        if let Some(part) = known {
            twice.seconds[0] = part;
            twice.parts[0] = part;
        } else {
            twice.parts[0] = job.stocks[0].parts.len();
        }
        let mut short = witness.clone();
        short.parts.pop();
        for witness in [None, Some(own), Some(twice), Some(short)] {
            let mut other = certificate.clone();
            other.several[at].witness = witness;
            bent.push(other);
        }
    }
    bent
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    /// Every criterion is as good as in the best of all choices within the limits, and proven; without a plan there is no
    /// choice, and each limit alone would have to give as much as is said.
    #[test]
    fn limits_counts_and_prices_are_kept(case in cases()) {
        let job = job(&case);
        let all = case.choices();
        let kept: Vec<&Choice> = all.iter().filter(|choice| case.beyond(choice) == [0; 6]).collect();
        let mut report = match_job(&job, None).expect("the checker accepts the answer");
        let written = plan_file::write(&job, &report);
        let report = report.matches.remove(0);
        match report.outcome {
            Outcome::Planned(planned) => {
                let parts: Vec<Vec<usize>> = planned.plan.placements.iter().map(|place| place.parts.clone()).collect();
                let mut used = parts.concat();
                used.sort_unstable();
                used.dedup();
                prop_assert_eq!(used.len(), 2 * case.journals.len());
                let found = choice_of(&case, &job, &parts);
                prop_assert_eq!(case.beyond(&found), [0; 6]);
                let bought = planned.plan.shopping.as_ref().map_or(0, |shopping| i128::from(shopping.total));
                prop_assert_eq!(bought, case.price(&found));
                if let Some(moves) = planned.plan.moves {
                    prop_assert_eq!(moves as i128, case.next(Next::Moves, &found));
                }
                // What the aim may give is given from its best value.
                let first = kept.iter().map(|choice| case.key(choice).0).min().expect("there is one");
                let equal = || kept.iter().map(|choice| case.key(choice)).filter(|key| key.0 == first);
                let aim = equal().map(|key| key.1).min().expect("one") + if case.slack { 40 } else { 0 };
                let after = equal().filter(|key| key.1 <= aim).map(|key| key.2).min().expect("one");
                let own = case.key(&found);
                prop_assert_eq!((&own.0, &own.2), (&first, &after));
                prop_assert!(own.1 <= aim);
                let Standing::Proven { levels, of, settled, .. } = planned.standing else {
                    panic!("{:?}", planned.standing);
                };
                prop_assert_eq!((settled, levels), (of, of));
                // Pieces of a type are one like the other in a file.
                let Said::Plan(read) = plan_file::read(&job, &written).expect("what was written").remove(0).said else {
                    panic!("{written}");
                };
                for certificate in [&planned.certificate, &*read] {
                    let checked = recheck(&job, 0, &Taken::default(), certificate).expect("holds");
                    prop_assert!(matches!(checked, Rechecked::True(checked) if checked.levels == levels));
                }
                for bent in without_the_best(&job, &planned.certificate) {
                    let said = recheck(&job, 0, &Taken::default(), &bent);
                    prop_assert!(said.is_err(), "{:?}: {:?}", said, bent);
                }
            }
            Outcome::Impossible(why) => {
                prop_assert!(kept.is_empty(), "{} choices", kept.len());
                let beyond: Vec<[i128; 6]> = all.iter().map(|choice| case.beyond(choice)).collect();
                for culprit in &why.culprits {
                    match culprit {
                        Culprit::Limit { fit, kind, enough, .. } => {
                            let of = if *fit == CLEARANCE { 0 } else { 2 };
                            let at = match kind {
                                LimitKind::Spread => of,
                                LimitKind::Neighbours => of + 1,
                                LimitKind::Side(_) => 4,
                            };
                            prop_assert_eq!(enough.map(i128::from), enough_for(&beyond, at));
                        }
                        Culprit::Spend { least } => {
                            let short = i128::from(*least) - i128::from(case.spend.expect("is limited"));
                            prop_assert_eq!(Some(short), enough_for(&beyond, 5));
                        }
                        Culprit::Fits => prop_assert!(all.is_empty()),
                        other => prop_assert!(false, "{:?}", other),
                    }
                }
            }
            other => prop_assert!(false, "{:?}", other),
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, ..ProptestConfig::default() })]

    /// A guarded limit on a spread is held by its own guard band; where all bands are alike the plan is the best that does so.
    #[test]
    fn guarded_spreads_are_held_by_their_bands(
        thicknesses in proptest::collection::vec(1_800_i64..2_000, 5..=7),
        uneven in any::<bool>(),
        most in 60_i64..200,
    ) {
        let rows = thicknesses.iter().map(|&thickness| Row { thickness, width: 0, count: None, price: None, at: None });
        let case = Case {
            journals: vec![4_800, 4_840],
            rows: rows.collect(),
            aim: (Goal::Near(build::nm(1_000)), Measured::Worst),
            slack: false,
            limits: [(Some(most), None), (None, None)],
            max: None,
            first: Vec::new(),
            spend: None,
            then: None,
        };
        let mut job = job(&case);
        let u = |at: usize| build::nm(if uneven && at.is_multiple_of(2) { 22 } else { 12 });
        let doubts: Vec<Amount> = (0..case.rows.len()).map(u).collect();
        let columns = job.stocks[0].columns.iter().cloned().chain([build::column("u_thickness", &doubts)]);
        job.stocks[0].columns = Columns::new(columns.collect());
        job.matches[0].limits.truncate(1);
        job.matches[0].limits[0].guard = true;
        let report = match_job(&job, None).expect("the checker accepts the answer").matches.remove(0);
        let Outcome::Planned(planned) = report.outcome else { return Ok(()) };
        let limit = &planned.plan.limits[0];
        prop_assert!(limit.state == LimitState::Held && limit.band > 1.0, "{:?}", limit);
        let parts: Vec<Vec<usize>> = planned.plan.placements.iter().map(|place| place.parts.clone()).collect();
        let found = choice_of(&case, &job, &parts);
        match planned.standing {
            Standing::Proven { levels, of, .. } => prop_assert_eq!(levels, of),
            Standing::BestFound { reason } => prop_assert!(uneven, "{:?}", reason),
        }
        if !uneven {
            let held = |choice: &&Choice| spread(&case.values(CLEARANCE, choice)) as f64 + limit.band <= most as f64;
            let all = case.choices();
            let best = all.iter().filter(held);
            prop_assert_eq!(Some(case.key(&found).1), best.map(|choice| case.key(choice).1).min());
        }
    }
}
