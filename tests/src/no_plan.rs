//! Proofs that a match has no plan: they hold as they are, and none holds once it is bent.

use pairwright_engine::job::Job;
use pairwright_engine::outcome::{Rechecked, recheck_no_plan};
use pairwright_engine::plan::{NoPlan, Nothing, RuledOut, Taken, WhyNone};
use pairwright_proof::{
    Item, JointProof, Outer, OuterProof, Refutation, Segment, SeveralProof, SeveralStep, SidedProof, SidedStep, Slot,
    Step,
};

/// Goes over the proof that the first match of a job has no plan, and over every way to bend it.
///
/// # Panics
/// Panics where it leaves a setting open, does not hold, or still holds when bent.
pub fn assert_proven(job: &Job, proof: &NoPlan) {
    let go_over = |proof: &NoPlan| recheck_no_plan(job, 0, &Taken::default(), proof);
    match go_over(proof) {
        Ok(Rechecked::True(reach)) => assert!(reach.is_all(), "{reach:?}: {proof:?}"),
        other => panic!("{other:?}: {proof:?}"),
    }
    for (how, bent) in bent(proof) {
        let said = go_over(&bent);
        let is_more = |reach: &RuledOut| reach.is_all();
        assert!(!matches!(&said, Ok(Rechecked::True(reach)) if is_more(reach)), "{how} is believed: {bent:?}");
        assert!(said.is_err() || how == "left unproven", "{how}: {said:?}");
    }
}

/// Ways to bend a proof, each with what it is.
fn bent(proof: &NoPlan) -> Vec<(&'static str, NoPlan)> {
    let mut all = Vec::new();
    let mut stated = |how, bend: &dyn Fn(&mut NoPlan)| {
        let mut other = proof.clone();
        bend(&mut other);
        if other != *proof {
            all.push((how, other));
        }
    };
    stated("one position more", &|other| other.stated.positions += 1);
    stated("one part more", &|other| other.stated.parts.iter_mut().take(1).for_each(|parts| *parts += 1));
    stated("a kind more", &|other| other.stated.parts.push(1));
    stated("one setting more", &|other| other.stated.settings += 1);
    stated("more to spend", &|other| other.stated.spend.iter_mut().for_each(|most| *most += 1));
    stated("no end to what may be spent", &|other| other.stated.spend = None);
    stated("less to spend than anything costs", &|other| other.stated.spend = Some(-1));
    stated("a limit less", &|other| drop(other.stated.limits.pop()));
    stated("a limit without its guard band", &|other| {
        other.stated.limits.iter_mut().take(1).for_each(|limit| limit.guard = !limit.guard);
    });
    stated("another bound", &|other| {
        let bounds = other.stated.limits.iter_mut().flat_map(|limit| &mut limit.bounds);
        bounds.flatten().take(1).for_each(|bound| *bound += 1);
    });
    stated("left unproven", &|other| other.why = WhyNone::Unproven);
    for (how, why) in whys(&proof.why) {
        stated(how, &|other| other.why = why.clone());
    }
    all
}

fn whys(why: &WhyNone) -> Vec<(&'static str, WhyNone)> {
    match why {
        WhyNone::BySetting(all) => by_setting(all),
        WhyNone::Jointly(proof) => jointly(proof),
        WhyNone::Severally(proof) => severally(proof),
        WhyNone::Unproven => Vec::new(),
    }
}

fn by_setting(all: &[Nothing]) -> Vec<(&'static str, WhyNone)> {
    let mut bent = vec![("a proof of another kind", WhyNone::Jointly(JointProof { outers: Vec::new() }))];
    bent.push(("a setting more", WhyNone::BySetting([all, &[Nothing::Unproven]].concat())));
    let mut with = |how, at: usize, one: Nothing| {
        let mut other = all.to_vec();
        other[at] = one;
        bent.push((how, WhyNone::BySetting(other)));
    };
    for (at, one) in all.iter().enumerate() {
        let nobody = || Refutation::Slots { slots: Vec::new(), items: Vec::new() };
        with("nobody competes", at, Nothing::Alone(nobody()));
        with("no limit at all", at, Nothing::Alone(Refutation::Never));
        with("no tree", at, Nothing::Beside(SidedProof::Levels(Vec::new())));
        if let Nothing::Beside(SidedProof::Impossible(tree)) = one {
            for steps in bent_trees(tree) {
                with("a bent tree", at, Nothing::Beside(SidedProof::Impossible(steps)));
            }
        }
        if let Nothing::Alone(Refutation::Slots { slots, items }) = one {
            for gone in 0..slots.len() {
                let mut slots = slots.clone();
                slots.remove(gone);
                with("a slot less", at, Nothing::Alone(Refutation::Slots { slots, items: items.clone() }));
            }
            for gone in 0..items.len() {
                let mut items = items.clone();
                items.remove(gone);
                with("an item less", at, Nothing::Alone(Refutation::Slots { slots: slots.clone(), items }));
            }
        }
        // Where the guard band alone is wider than the limit there is no window to close.
        if let Nothing::Alone(Refutation::Windows { of, runs }) = one
            && let [shorter @ .., _] = runs.as_slice()
        {
            let less = Refutation::Windows { of: *of, runs: shorter.to_vec() };
            with("a stretch of windows less", at, Nothing::Alone(less));
        }
    }
    if !all.is_empty() {
        bent.push(("a setting less", WhyNone::BySetting(all[1..].to_vec())));
    }
    bent
}

/// Trees with a step less, a step more, and a step that shows nothing in the place of each.
fn bent_trees(tree: &[SidedStep]) -> Vec<Vec<SidedStep>> {
    let mut bent = vec![[tree, &[SidedStep::Slots(Vec::new())]].concat()];
    if let [shorter @ .., _] = tree {
        bent.push(shorter.to_vec());
    }
    for place in 0..tree.len().min(40) {
        for one in [SidedStep::Slots(Vec::new()), SidedStep::Items(Vec::new()), SidedStep::Split(Slot::new(99))] {
            let mut steps = tree.to_vec();
            steps[place] = one;
            bent.push(steps);
        }
    }
    bent
}

fn jointly(proof: &JointProof) -> Vec<(&'static str, WhyNone)> {
    let mut bent = vec![("a proof of another kind", WhyNone::BySetting(Vec::new()))];
    let mut with = |how, outers: Vec<OuterProof>| bent.push((how, WhyNone::Jointly(JointProof { outers })));
    let all = &proof.outers;
    with("an outer choice more", [all.as_slice(), &[OuterProof::Windows(Vec::new())]].concat());
    if !all.is_empty() {
        with("an outer choice less", all[1..].to_vec());
    }
    for (at, outer) in all.iter().enumerate() {
        let mut changed = |how, one: OuterProof| {
            let mut other = all.clone();
            other[at] = one;
            with(how, other);
        };
        changed("like the first", OuterProof::Like(Outer::new(0)));
        changed("no windows", OuterProof::Windows(Vec::new()));
        let OuterProof::Windows(segments) = outer else { continue };
        let Some(first) = segments.first() else { continue };
        let mut steps = |how, steps: Vec<Step>| {
            changed(how, OuterProof::Windows(vec![Segment { steps, ..first.clone() }]));
        };
        steps("no step", Vec::new());
        steps("a step less", first.steps[..first.steps.len() - 1].to_vec());
        steps("a step more", [first.steps.as_slice(), &first.steps[..1]].concat());
        for place in 0..first.steps.len().min(40) {
            let mut step = |how, one: Step| {
                let mut other = first.steps.clone();
                other[place] = one;
                steps(how, other);
            };
            step("costs where none are asked for", Step::Costs);
            let side = pairwright_proof::Side::First;
            step("nobody is short", Step::Short { side, slots: Vec::new() });
            step("a strange slot", Step::Split { slot: Slot::new(99), side });
            step("a strange item", Step::Seat { side, item: Item::new(9_999) });
        }
    }
    bent
}

fn severally(proof: &SeveralProof) -> Vec<(&'static str, WhyNone)> {
    let mut bent = vec![("a proof of another kind", WhyNone::BySetting(Vec::new()))];
    let mut with = |how, steps: Vec<SeveralStep>| bent.push((how, WhyNone::Severally(SeveralProof { steps })));
    // A slot that can take nothing at all needs no step.
    if let [shorter @ .., last] = proof.steps.as_slice() {
        with("no step", Vec::new());
        with("a step less", shorter.to_vec());
        with("a step more", [&proof.steps, std::slice::from_ref(last)].concat());
    } else {
        with("a step more", vec![SeveralStep::Short(Vec::new())]);
    }
    for at in 0..proof.steps.len().min(40) {
        for one in [SeveralStep::Short(Vec::new()), SeveralStep::Short(vec![Slot::new(99)])] {
            let mut steps = proof.steps.clone();
            steps[at] = one;
            with("nobody is short", steps);
        }
    }
    bent
}
