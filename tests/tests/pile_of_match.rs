//! The pile of a match against the match itself: what it makes of the parts there are, and of further ones like them.

use pairwright::input::load;
use pairwright_engine::job::{Column, Columns, FitName, Goal, Job, LimitAsked, Measured, Next, Pin};
use pairwright_engine::outcome::{Outcome, match_job};
use pairwright_engine::pile::{
    Drawing, Fitting, Gathered, MatchPile, Need, NotReady, PileOfMatch, Sought, pile_of_match,
};
use pairwright_engine::plan::{Plan, Taken};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_engine::readings::{PartId, PositionId};
use pairwright_tests::build;
use pairwright_tests::folder::folder;
use proptest::prelude::*;
use std::path::Path;

const FEW: Drawing = Drawing { seed: 1, futures: 40 };

fn demo(name: &str) -> Job {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../datasets").join(name);
    load(&folder).expect("the demo has no errors").job
}

fn ready(job: &Job) -> PileOfMatch {
    match pile_of_match(job, 0, &Taken::default(), Gathered::default()).expect("a stock that says something") {
        MatchPile::Ready(pile) => *pile,
        MatchPile::NotReady(why) => panic!("{why:?}"),
    }
}

fn plan(job: &Job) -> Option<Plan> {
    match match_job(job, None).expect("the checker accepts the answer").matches.remove(0).outcome {
        Outcome::Planned(planned) => Some(planned.plan),
        Outcome::Impossible(_) => None,
        other => panic!("{other:?}"),
    }
}

/// The aim's value of a plan, in ticks, by its definition.
fn worth(sought: Sought, target: f64, plan: &Plan, fit: FitName) -> f64 {
    let own = |at: usize| {
        plan.placements[at].fits.iter().find(|value| value.fit == fit).expect("predicted").estimate.value as f64
    };
    let values: Vec<f64> = (0..plan.placements.len()).map(own).collect();
    let n = values.len() as f64;
    let high = values.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let low = values.iter().copied().fold(f64::INFINITY, f64::min);
    let mean = values.iter().sum::<f64>() / n;
    let about = |centre: f64| (values.iter().map(|value| (value - centre).powi(2)).sum::<f64>() / n).sqrt();
    match sought {
        Sought::EVEN => high - low,
        Sought::EVEN_BY_SQUARES => about(mean),
        Sought::HIGHEST | Sought::LOWEST => values.iter().sum(),
        Sought::HIGHEST_BY_LEAST => low,
        Sought::LOWEST_BY_GREATEST => high,
        near if near == Sought::near_by_squares(0) => about(target),
        _ => (high - target).abs().max((low - target).abs()),
    }
}

/// Every stock part's value by its numbers is the one that the match has, but for rounding, wherever both are there.
fn assert_learned(found: &PileOfMatch) {
    let (fit, parts) = (found.pile.fit(), found.pile.parts());
    let mut compared = 0;
    for position in (0..).map(PositionId::new).take(fit.positions()) {
        for (part, numbers) in (0..).map(PartId::new).zip(parts.parts()) {
            let known = fit.value_in_stock(position, part, numbers);
            if let (Some(known), Some(by_numbers)) = (known, fit.value(position, numbers)) {
                assert!((known - by_numbers).abs() <= 2.0, "{position:?} {part:?}: {known} {by_numbers}");
                compared += 1;
            }
        }
    }
    assert!(compared > 0);
}

#[test]
fn the_demos_of_pistons_alone_have_piles() {
    let fell = ready(&demo("fell-six"));
    assert_eq!((fell.kind.as_str(), fell.fit), ("piston", FitName::Deck));
    let tarn = ready(&demo("tarn-deck"));
    assert!(tarn.numbers.contains(&FitName::Deck) && tarn.numbers.contains(&FitName::Mass), "{:?}", tarn.numbers);
    for (found, job) in [(fell, demo("fell-six")), (tarn, demo("tarn-deck"))] {
        assert_learned(&found);
        let sought = Sought::of(&job.matches[0].aim);
        let target = if let Goal::Near(value) = job.matches[0].aim.goal { value.ticks() as f64 } else { 0.0 };
        let known = worth(sought, target, &plan(&job).expect("the demo has a plan"), found.fit);
        assert!((found.pile.now().unwrap() - known).abs() < 0.5, "{:?} {known}", found.pile.now());
        let outlook = found.pile.outlook(&[5, 40], FEW).unwrap();
        let gains: Vec<f64> = outlook.steps.iter().map(|step| step.gain.unwrap().value).collect();
        assert!(gains[0] > 0.0 && gains[1] > gains[0], "{gains:?}");
        let needs = found.pile.needs(known / 2.0, 400, FEW).unwrap();
        assert!(matches!(needs.expected, Need::More(more) if more > 0), "{needs:?}");
    }
}

const BLOCK: &str = "\
units = \"mm\"
[stock]
piston = \"pistons.csv\"
rod    = \"rods.csv\"
head   = \"heads.csv\"
[positions]
cylinder = \"cylinders.csv\"
[engine]
bore = 80
stroke = 76
[banks]
left  = { cylinders = [1, 2], head = \"as measured\" }
right = { cylinders = [3, 4], head = \"as measured\" }
[fit.stack]
plus  = STACK
[[match]]
place = PLACE
even  = \"stack\"
KEYS
then  = []
";

/// A block some of whose pistons, rods and heads have prices, and stand somewhere.
fn block([place, stack]: [&str; 2], keys: &str) -> Job {
    let folder = folder(&[
        ("job.toml", &BLOCK.replace("PLACE", place).replace("STACK", stack).replace("KEYS", keys)),
        (
            "pistons.csv",
            "id,height,price,at\nA,30.00,,1\nB,30.04,,2\nC,30.10,,\nD,29.97,60,\nE,30.02,45,\nF,30.06,75,3\n",
        ),
        ("rods.csv", "id,length,price,at\nR1,140.00,,2\nR2,140.03,,1\nR3,140.01,40,\nR4,139.98,35,\nR5,140.02,50,4\n"),
        ("heads.csv", "id,price,at\nH1,20,left\nH2,,right\nH3,15,\n"),
        ("cylinders.csv", "cylinder,height\n1,0.00\n2,0.02\n3,0.00\n4,0.03\n"),
    ]);
    load(folder.path()).expect("no errors").job
}

/// With heads, and with rods beside the pistons, what counts before the aim now is what it is in the match, of all parts together, and
/// what may be spent is held by all of them.
#[test]
fn what_counts_first_is_counted_over_all_kinds() {
    let two = ["[\"piston\", \"rod\", \"head\"]", "[\"cylinder.height\", \"rod.length\", \"piston.height\"]"];
    let one = ["[\"piston\", \"head\"]", "[\"cylinder.height\", \"piston.height\"]"];
    let firsts = ["[\"price\"]", "[\"bought\", \"price\"]", "[\"moves\", \"price\"]", "[]"];
    for (place, kinds) in [(two, &["piston", "rod"][..]), (one, &["piston"])] {
        for first in firsts {
            for spend in ["", "spend = { max = 200 }", "spend = { max = 120 }"] {
                let first = if first == "[]" { String::new() } else { format!("first = {first}") };
                let job = block(place, &format!("{first}\n{spend}"));
                let plan = plan(&job);
                for kind in kinds {
                    let gathered = Gathered { kind: (kinds.len() == 2).then_some(*kind), price: Some(1_000) };
                    let MatchPile::Ready(found) = pile_of_match(&job, 0, &Taken::default(), gathered).unwrap() else {
                        assert!(plan.is_none(), "{place:?} {first} {spend}");
                        continue;
                    };
                    let worth = found.pile.worth();
                    assert_eq!(worth.is_some(), plan.is_some(), "{place:?} {kind} {first} {spend}");
                    let (Some(worth), Some(plan)) = (worth, &plan) else { continue };
                    let shopping = plan.shopping.as_ref().expect("prices");
                    let counted: Vec<f64> = (job.matches[0].buying.first.iter())
                        .map(|next| match next {
                            Next::Price => shopping.total as f64,
                            Next::Bought => shopping.lines.iter().map(|line| f64::from(line.count)).sum(),
                            Next::Moves => plan.moves.expect("it is said where parts stand") as f64,
                            Next::Spread(_) => panic!("no total"),
                        })
                        .collect();
                    assert_eq!(worth.before, counted, "{place:?} {kind} {first} {spend}");
                    let aim = plan.summary.spread as f64;
                    assert!((worth.aim - aim).abs() < 0.5, "{place:?} {kind} {first} {spend}: {worth:?} {aim}");
                    // A further part costs 10: no future is worse by the criteria in order; where nothing but the aim counts, most gain.
                    let step = found.pile.outlook(&[12], FEW).unwrap().steps.remove(0);
                    assert!(
                        step.unproven.abs() < 1e-12
                            && step.fillable >= 1.0
                            && (!counted.is_empty() || step.helps > 0.5),
                        "{first} {spend}: {step:?}"
                    );
                    if let Some(gained) = step.before.first() {
                        assert!(gained.gain.expect("a plan").low >= 0.0, "{gained:?}");
                    }
                }
            }
        }
    }
}

/// What is spent and the aim now are those of the match; found shims cost nothing unless it is said what they cost.
#[test]
fn shims_that_are_found_save_money() {
    let job = demo("wren-shims");
    let known = plan(&job).expect("the demo has a plan");
    let spent = known
        .shopping
        .as_ref()
        .expect("prices")
        .lines
        .iter()
        .map(|line| line.price * i64::from(line.count))
        .sum::<i64>();
    let free = ready(&job);
    let worth = free.pile.worth().expect("a plan").clone();
    assert!(spent > 0 && (worth.before[0] - spent as f64).abs() < 0.5, "{worth:?} {spent}");
    let Goal::Near(target) = job.matches[0].aim.goal else { panic!("near") };
    let aim = self::worth(Sought::near(0), target.ticks() as f64, &known, free.fit);
    assert!((worth.aim - aim).abs() < 0.5, "{worth:?} {aim}");
    // One shim of the shelf fits no valve: it tells what others are like all the same.
    assert_eq!((free.measured, free.pile.parts().len() - free.stated), (22, 21));
    let saved = |price: Option<i64>| {
        let gathered = Gathered { price, ..Gathered::default() };
        let MatchPile::Ready(found) = pile_of_match(&job, 0, &Taken::default(), gathered).unwrap() else {
            panic!("ready")
        };
        let outlook = found.pile.outlook(&[20], FEW).unwrap();
        outlook.steps[0].before[0].gain.unwrap().value
    };
    let [nothing, half, dear] = [saved(None), saved(Some(spent / 8)), saved(Some(10 * spent))];
    assert!(nothing > half && half > dear && dear.abs() < 1e-9, "{nothing} {half} {dear}");
}

#[test]
fn of_two_kinds_it_has_to_be_said_which_grows() {
    let found = pile_of_match(&demo("tarn-v8"), 0, &Taken::default(), Gathered::default()).unwrap();
    assert!(matches!(found, MatchPile::NotReady(NotReady::WhichKind(_))), "{found:?}");
}

#[test]
fn parts_that_earlier_matches_took_still_tell_what_others_are_like() {
    let job = demo("fell-six");
    let mut taken = Taken::default();
    taken.take("piston", 1);
    let MatchPile::Ready(less) = pile_of_match(&job, 0, &taken, Gathered::default()).unwrap() else { panic!("ready") };
    let all = ready(&job);
    assert_eq!(less.measured, all.measured);
    assert_eq!(less.pile.parts().len() + 1, all.pile.parts().len());
}

/// A job of pistons read with one control piston, their masses and diameters.
fn job_of(pistons: &[i64], cylinders: &[i64], masses: &[i64], diameters: &[i64]) -> Job {
    let mut job = build::job(cylinders.len(), pistons.len());
    let control = (0..cylinders.len()).map(|cylinder| (cylinder, 0, pistons[0] + cylinders[cylinder]));
    let others = (1..pistons.len()).map(|piston| (0, piston, pistons[piston] + cylinders[0]));
    job.deck = Some(build::readings(&control.chain(others).collect::<Vec<_>>()));
    let count = pistons.len();
    let grams: Vec<Amount> = masses[..count].iter().map(|&mass| Amount::new(mass * 1_000, Unit::Gram, 1)).collect();
    let sizes: Vec<Amount> = diameters[..count].iter().map(|&size| build::nm(100_000_000 + size)).collect();
    job.stocks[0].columns = Columns::new(vec![build::column("mass", &grams), build::column("diameter", &sizes)]);
    let bore = Column {
        name: "bore".to_owned(),
        values: (0..cylinders.len()).map(|_| Some(build::nm(100_060_000))).collect(),
    };
    job.positions[0].columns = Columns::new(vec![bore]);
    job
}

fn limit(fit: FitName) -> LimitAsked {
    LimitAsked { fit, min: None, max: None, spread: None, neighbours: None, guard: false, line: 1 }
}

fn sizes(count: usize, reach: i64) -> impl Strategy<Value = Vec<i64>> {
    prop::collection::vec(-reach..reach, count)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    /// What the pile makes of the parts there are is what the match makes of them, for every aim, under limits on the
    /// aim's fit, on another one, on a spread and on neighbours, with parts kept and barred; and by their numbers parts have the values that
    /// they have in the match.
    #[test]
    fn prop_the_pile_as_it_is_is_the_match(
        pistons in sizes(9, 100_000),
        cylinders in (2_usize..=4).prop_flat_map(|count| sizes(count, 60_000)),
        masses in prop::collection::vec(6_000_i64..6_060, 9),
        diameters in sizes(9, 20_000),
        aim in 0_usize..8,
        (by_mass, by_skirt, by_deck, kept, barred, beside) in any::<(bool, bool, bool, bool, bool, bool)>(),
    ) {
        let mut job = job_of(&pistons, &cylinders, &masses, &diameters);
        let aims = [
            (Goal::Even, Measured::Spread), (Goal::Even, Measured::Squares), (Goal::Highest, Measured::Total),
            (Goal::Highest, Measured::Extreme), (Goal::Lowest, Measured::Total), (Goal::Lowest, Measured::Extreme),
            (Goal::Near(build::nm(0)), Measured::Worst), (Goal::Near(build::nm(0)), Measured::Squares),
        ];
        let matching = &mut job.matches[0];
        (matching.aim.goal, matching.aim.by) = aims[aim];
        if by_mass {
            let spread = Some(Amount::new(30_000, Unit::Gram, 1));
            matching.limits.push(LimitAsked { spread, ..limit(FitName::Mass) });
        }
        if by_skirt {
            matching.limits.push(LimitAsked { min: Some(build::nm(50_000)), ..limit(FitName::Skirt) });
        }
        if by_deck {
            matching.limits.push(LimitAsked { max: Some(build::nm(90_000)), guard: true, ..limit(FitName::Deck) });
        }
        if beside {
            matching.limits.push(LimitAsked { neighbours: Some(build::nm(70_000)), ..limit(FitName::Deck) });
            let neighbours = Some(Amount::new(40_000, Unit::Gram, 1));
            matching.limits.push(LimitAsked { neighbours, ..limit(FitName::Mass) });
        }
        if kept {
            matching.keep.push(Pin { position: 1, part: 2, role: 0 });
        }
        if barred {
            matching.bar.push(Pin { position: 0, part: 1, role: 0 });
        }
        let sought = Sought::of(&job.matches[0].aim);
        let found = match pile_of_match(&job, 0, &Taken::default(), Gathered::default()).unwrap() {
            MatchPile::Ready(found) => found,
            MatchPile::NotReady(why) => { prop_assert!(false, "{:?}", why); return Ok(()) }
        };
        prop_assert_eq!(found.measured, 9);
        let known = plan(&job).map(|plan| worth(sought, 0.0, &plan, FitName::Deck));
        prop_assert_eq!(found.pile.now().is_some(), known.is_some());
        if let (Some(now), Some(known)) = (found.pile.now(), known) {
            prop_assert!((now - known).abs() < 4.0, "{:?}: {} {}", sought, now, known);
        }
        if beside {
            // More parts never do worse, neighbours or not.
            let outlook = found.pile.outlook(&[2, 6], Drawing { seed: 3, futures: 40 }).unwrap();
            let [two, six] = &outlook.steps[..] else { panic!("two were asked for") };
            prop_assert!(two.fillable <= six.fillable);
            if let (Some(_), Some(two), Some(six)) = (known, two.gain, six.gain) {
                prop_assert!(0.0 <= two.value && two.value <= six.value + 1e-9);
            }
        }
        let parts = found.pile.parts();
        for position in (0..).map(PositionId::new).take(cylinders.len()) {
            for (part, numbers) in (0..).map(PartId::new).zip(parts.parts()) {
                let known = found.pile.fit().value_in_stock(position, part, numbers);
                let by_numbers = found.pile.fit().value(position, numbers);
                if let (Some(known), Some(by_numbers)) = (known, by_numbers) {
                    prop_assert!((known - by_numbers).abs() <= 2.0, "{} {}", known, by_numbers);
                }
                // A kept position is closed to further parts.
                prop_assert!(!(kept && position.index() == 1 && by_numbers.is_some()));
            }
        }
    }
}
