//! Invented plans with invented explanations.

use pairwright_engine::explain::{
    Alternative, AsFound, AtMost, Explanation, Flagged, FlaggedOut, ForcedIn, Gain, Immovable, OtherPlan, Price,
    RunnerUp, SpreadEnds, Step,
};
use pairwright_engine::job::{Bounding, FitName};
use pairwright_engine::outcome::Planned;
use pairwright_engine::plan::{
    Certificate, Estimate, FitValue, Interval, LimitKind, LimitReport, LimitState, Placement, Plan, Setting, Standing,
    Stopped, Summary,
};

use super::sample::tenths;

fn value(fit: FitName, ticks: i64, u: i64, from_line: bool) -> FitValue {
    let (value, u) = (ticks, u as f64);
    let estimate =
        Estimate { value, u, dof: f64::INFINITY, low: value as f64 - 2.0 * u, high: value as f64 + 2.0 * u, from_line };
    FitValue { fit, estimate }
}

fn placement(position: usize, part: usize, deck: i64, skirt: i64, mass: i64) -> Placement {
    let mut deck_value = value(FitName::Deck, tenths(deck), tenths(3), position == 3);
    deck_value.estimate.dof = 12.0;
    let fits = vec![
        deck_value,
        value(FitName::Skirt, tenths(skirt), 1_037, false),
        value(FitName::Mass, mass * 1_000, 289, false),
    ];
    Placement { position, parts: vec![part], fits }
}

/// E in 1, C in 3, A in 2, D in 4: one value below, one flush, one above, one across the deck.
pub(super) fn plan() -> Plan {
    Plan {
        setting: Setting::default(),
        others_left_out: Vec::new(),
        banks: Vec::new(),
        placements: vec![
            placement(0, 4, -41, 36, 6119),
            placement(1, 2, 0, 40, 6121),
            placement(2, 0, 12, 35, 6120),
            placement(3, 3, -4, 41, 6120),
        ],
        summary: Summary {
            off_target: None,
            fit: FitName::Deck,
            spread: tenths(53),
            mean: 0.0,
            total: tenths(-33),
            worst: None,
            scatter: 51_300.4,
            expected_spread: Interval { value: 141_000.0, low: 120_000.0, high: 166_000.0 },
        },
        limits: vec![
            limit(FitName::Deck, LimitKind::Side(Bounding::Max), LimitState::Held, 0, Some(0), tenths(41)),
            LimitReport {
                by_position: true,
                ..limit(
                    FitName::Skirt,
                    LimitKind::Side(Bounding::Min),
                    LimitState::Held,
                    tenths(34),
                    Some(2),
                    tenths(1),
                )
            },
            LimitReport {
                guard: false,
                band: 0.0,
                ..limit(FitName::Mass, LimitKind::Spread, LimitState::Held, 20_000, None, 18_000)
            },
        ],
        chance_all_hold: Some(0.9871),
        left_out: vec![1, 5],
        moves: Some(2),
        shopping: None,
    }
}

fn limit(
    fit: FitName,
    kind: LimitKind,
    state: LimitState,
    bound: i64,
    tightest: Option<usize>,
    margin: i64,
) -> LimitReport {
    LimitReport { fit, kind, bound, by_position: false, guard: true, state, tightest, margin, band: 2_400.0 }
}

fn found(parts: [usize; 4], spread: i64, scatter: f64, below_doubt: bool) -> Alternative {
    Alternative::Found {
        setting: Setting::default(),
        seconds: Vec::new(),
        parts: parts.to_vec(),
        price: Price { spread, scatter, aim: 0, money: 0, below_doubt, at_most: AtMost::AfterTheAim },
    }
}

fn explanation() -> Explanation {
    let runner = |position, plan| RunnerUp { position, plan };
    Explanation {
        selection: None,
        settings: Vec::new(),
        contributions: Vec::new(),
        little_more: Vec::new(),
        as_found: Some(AsFound {
            setting: Setting::default(),
            seconds: Vec::new(),
            parts: vec![0, 1, 2, 3],
            values: vec![tenths(-61), tenths(-20), tenths(9), tenths(-4)],
            spread: tenths(70),
            limits: vec![LimitReport {
                guard: false,
                band: 0.0,
                ..limit(FitName::Mass, LimitKind::Spread, LimitState::Broken, 20_000, None, -3_000)
            }],
            gain: Gain { spread: tenths(17), below_doubt: true },
        }),
        ends: Some(SpreadEnds {
            low: 0,
            low_value: tenths(-41),
            high: 2,
            high_value: tenths(12),
            low_immovable: Immovable::Competing { positions: vec![0, 2, 3], parts: vec![4, 0] },
            high_immovable: Immovable::OtherSpread,
        }),
        runners_up: vec![
            runner(0, found([0, 2, 4, 3], tenths(3), 900.0, true)),
            runner(1, found([4, 5, 0, 3], 0, 2_600.0, true)),
            runner(2, found([4, 2, 5, 3], tenths(40), -3_000.0, false)),
            runner(3, Alternative::NoPlan),
        ],
        forced_in: vec![
            ForcedIn { part: 5, plan: found([4, 5, 0, 3], tenths(4), 2_600.0, true) },
            ForcedIn { part: 1, plan: Alternative::NoPlan },
        ],
        unread: Vec::new(),
        others: vec![
            OtherPlan::OtherParts { without: 4, plan: found([0, 2, 5, 3], tenths(30), 0.0, false) },
            OtherPlan::FewestMoves { moves: 1, plan_moves: 2, plan: found([4, 1, 2, 3], tenths(8), 4_000.0, true) },
            OtherPlan::OtherParts { without: 4, plan: Alternative::NoPlan },
        ],
        flagged_out: vec![
            FlaggedOut {
                of: Flagged::Reading,
                same_plan: true,
                lines: vec![5],
                setting: Setting::default(),
                parts: Some(vec![4, 2, 0, 3]),
                seconds: Vec::new(),
                undecided: false,
                spread: Some(tenths(51)),
                changed: Vec::new(),
            },
            FlaggedOut {
                of: Flagged::Reading,
                same_plan: false,
                lines: vec![3],
                setting: Setting::default(),
                parts: Some(vec![0, 2, 4, 3]),
                seconds: Vec::new(),
                undecided: false,
                spread: Some(tenths(55)),
                changed: vec![0, 2],
            },
            FlaggedOut {
                of: Flagged::Reading,
                same_plan: false,
                lines: vec![2, 3],
                setting: Setting::default(),
                parts: None,
                seconds: Vec::new(),
                undecided: false,
                spread: None,
                changed: Vec::new(),
            },
        ],
        other_steps: Vec::new(),
        steps: vec![
            vec![step(4, None, Some(0)), step(0, Some(0), Some(2)), step(2, Some(2), Some(1)), step(1, Some(1), None)],
            vec![step(5, None, Some(3))],
        ],
    }
}

fn step(part: usize, from: Option<usize>, to: Option<usize>) -> Step {
    Step { part, from, to }
}

/// A proven plan with everything said about it.
pub(super) fn planned() -> Planned {
    Planned {
        standing: Standing::Proven { levels: 2, of: 3, settled: 3, is_first: true },
        plan: plan(),
        certificate: Certificate::default(),
        explanation: explanation(),
    }
}

/// A plan that is only the best found, with little said about it: no spread, nothing left out.
pub(super) fn best_found() -> Planned {
    let mut plan = plan();
    plan.summary.spread = 0;
    plan.summary.expected_spread = Interval { value: 900.0, low: 400.0, high: 1_500.0 };
    plan.left_out.clear();
    plan.limits.clear();
    plan.chance_all_hold = None;
    plan.moves = Some(0);
    let price = Price { spread: 90, scatter: 0.0, aim: tenths(2), money: 0, below_doubt: false, at_most: AtMost::All };
    let explanation = Explanation {
        selection: None,
        settings: Vec::new(),
        contributions: Vec::new(),
        little_more: Vec::new(),
        as_found: Some(AsFound {
            setting: Setting::default(),
            seconds: Vec::new(),
            parts: vec![0, 1, 2, 3],
            values: vec![0; 4],
            spread: 0,
            limits: Vec::new(),
            gain: Gain { spread: 0, below_doubt: true },
        }),
        ends: None,
        runners_up: vec![RunnerUp {
            position: 0,
            plan: Alternative::Found {
                setting: Setting::default(),
                seconds: Vec::new(),
                parts: vec![5, 2, 0, 3],
                price,
            },
        }],
        forced_in: Vec::new(),
        unread: Vec::new(),
        others: Vec::new(),
        flagged_out: Vec::new(),
        steps: Vec::new(),
        other_steps: Vec::new(),
    };
    Planned {
        standing: Standing::BestFound { reason: Stopped::EffortSpent },
        plan,
        certificate: Certificate::default(),
        explanation,
    }
}

/// A plan whose limits hold only at face value, or not even so.
pub(super) fn nominal() -> Plan {
    let mut plan = plan();
    plan.limits[0].state = LimitState::Nominal;
    plan.limits[0].margin = 2_100;
    plan.limits[1].state = LimitState::Broken;
    plan.limits[1].margin = -tenths(2);
    plan.limits[2].state = LimitState::Nominal;
    plan.limits[2].guard = true;
    plan.limits[2].margin = 0;
    plan.limits[2].band = 820.0;
    plan.chance_all_hold = Some(0.0);
    plan
}
