//! An explanation as JSON.

use std::collections::BTreeMap;

use pairwright_engine::explain::{self, Alternative as Known, Immovable, OtherPlan};

use pairwright_engine::job::Scope;
use pairwright_engine::quantity::Unit;

use super::explanation_document::{
    Alternative, AsFound, AtMost, Because, End, Ends, FlaggedOut, ForcedIn, Other, Price, RoleSteps, RunnerUp, Step,
};
use super::placed::limit;
use crate::render::view::{View, number};

impl View<'_> {
    pub(super) fn as_found(self, found: &explain::AsFound) -> AsFound {
        let unit = self.unit_of(self.matching.aim.fit);
        let value =
            |(position, &ticks): (usize, &i64)| (self.position(position).to_owned(), number(ticks as f64, unit));
        AsFound {
            value: number(found.spread as f64, unit),
            unit: unit.symbol().to_owned(),
            gain: number(found.gain.spread as f64, unit),
            below_doubt: found.gain.below_doubt,
            parts: self.parts_by_position(&found.parts),
            other_parts: self.other_parts(&found.parts, &found.seconds),
            settings: self.setting(&found.setting),
            values: found.values.iter().enumerate().map(value).collect(),
            limits: found.limits.iter().map(|one| limit(self, one)).collect(),
        }
    }

    pub(super) fn ends(self, ends: &explain::SpreadEnds) -> Ends {
        Ends {
            low: self.end(ends.low, ends.low_value, &ends.low_immovable),
            high: self.end(ends.high, ends.high_value, &ends.high_immovable),
        }
    }

    fn end(self, position: usize, ticks: i64, because: &Immovable) -> End {
        let unit = self.unit_of(self.matching.aim.fit);
        End {
            position: self.position(position).to_owned(),
            value: number(ticks as f64, unit),
            unit: unit.symbol().to_owned(),
            because: match because {
                Immovable::Competing { positions, parts } => {
                    Because::Competing { positions: self.position_ids(positions), parts: self.part_ids(parts) }
                }
                Immovable::OtherSpread => Because::OtherSpread,
                Immovable::Outranked => Because::Outranked,
                Immovable::Undecided => Because::Undecided,
            },
        }
    }

    pub(super) fn price(self, price: &explain::Price) -> Price {
        let unit = self.unit_of(self.matching.aim.fit);
        Price {
            spread: number(price.spread as f64, unit),
            scatter: number(price.scatter, unit),
            aim: number(price.aim as f64, unit),
            unit: unit.symbol().to_owned(),
            money: number(price.money as f64, Unit::Money),
            below_doubt: price.below_doubt,
            at_most: match price.at_most {
                explain::AtMost::Nothing => AtMost::Nothing,
                explain::AtMost::AfterTheAim => AtMost::AfterTheAim,
                explain::AtMost::All => AtMost::All,
            },
        }
    }

    pub(super) fn alternative(self, plan: &Known) -> Option<Alternative> {
        let Known::Found { setting, seconds, parts, price } = plan else { return None };
        let price = self.price(price);
        Some(Alternative {
            parts: self.parts_by_position(parts),
            other_parts: self.other_parts(parts, seconds),
            settings: self.setting(setting),
            price,
        })
    }

    pub(super) fn runner_up(self, runner: &explain::RunnerUp) -> RunnerUp {
        let part = match &runner.plan {
            Known::Found { parts, .. } => parts.get(runner.position).map(|&part| self.part_id(part)),
            Known::NoPlan | Known::TooDear { .. } | Known::Undecided => None,
        };
        RunnerUp {
            position: self.position(runner.position).to_owned(),
            part,
            plan: self.alternative(&runner.plan),
            least_price: least_price(&runner.plan),
            undecided: runner.plan == Known::Undecided,
        }
    }

    pub(super) fn forced_in(self, forced: &explain::ForcedIn) -> ForcedIn {
        ForcedIn {
            part: self.part_id(forced.part),
            plan: self.alternative(&forced.plan),
            least_price: least_price(&forced.plan),
            undecided: forced.plan == Known::Undecided,
        }
    }

    pub(super) fn other(self, other: &OtherPlan) -> Other {
        match other {
            OtherPlan::OtherParts { without, plan } => {
                let (least_price, plan) = (least_price(plan), self.alternative(plan));
                Other::OtherParts { without: plan.is_some().then(|| self.part_id(*without)), plan, least_price }
            }
            OtherPlan::FewestMoves { moves, plan_moves, plan } => {
                Other::FewestMoves { moves: *moves, plan_moves: *plan_moves, plan: self.alternative(plan) }
            }
        }
    }

    pub(super) fn flagged_out(self, flagged: &explain::FlaggedOut) -> FlaggedOut {
        FlaggedOut {
            file: self.file_of(flagged.of).unwrap_or_default().to_owned(),
            same_plan: flagged.same_plan,
            lines: flagged.lines.clone(),
            parts: flagged.parts.as_ref().map(|parts| self.parts_by_position(parts)),
            other_parts: flagged
                .parts
                .as_ref()
                .map_or_else(BTreeMap::new, |parts| self.other_parts(parts, &flagged.seconds)),
            undecided: flagged.undecided,
            settings: self.setting(&flagged.setting),
            spread: flagged.spread.map(|spread| self.of_fit(self.matching.aim.fit, spread)),
            changed: self.position_ids(&flagged.changed),
        }
    }

    pub(super) fn role_steps(self, steps: &explain::RoleSteps) -> RoleSteps {
        let kind = self.kind(steps.role);
        let is_bank = self.matching.scope(kind) == Scope::Bank;
        let place = |at: usize| if is_bank { self.bank_name(at) } else { self.position(at) }.to_owned();
        let step = |step: &explain::Step| Step {
            part: self.part(steps.role, step.part).to_owned(),
            from: step.from.map(place),
            to: step.to.map(place),
        };
        let chains = steps.steps.iter().map(|chain| chain.iter().map(step).collect());
        RoleSteps { role: kind.to_owned(), steps: chains.collect() }
    }

    pub(super) fn step(self, step: &explain::Step) -> Step {
        let place = |position: Option<usize>| position.map(|position| self.position(position).to_owned());
        Step { part: self.part_id(step.part), from: place(step.from), to: place(step.to) }
    }
}

/// What the cheapest plan costs where that is more than may be spent.
pub(super) fn least_price(plan: &Known) -> Option<f64> {
    let Known::TooDear { least } = plan else { return None };
    least.map(|least| number(least as f64, Unit::Money))
}
