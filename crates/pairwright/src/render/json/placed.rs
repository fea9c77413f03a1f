//! A plan as JSON.

use std::collections::BTreeMap;

use pairwright_engine::job::{Bounding, FitName, Measured};
use pairwright_engine::plan::{self, FitValue, LimitKind, LimitReport, LimitState};
use pairwright_engine::quantity::Unit;

use super::plan_document::{Bought, Expected, Fit, Limit, Placement, Plan, Shopping};
use super::values::{finite, quantity};
use crate::render::origin::Origin;
use crate::render::tightest::Limits;
use crate::render::view::{View, number};

/// A plan of the match.
pub(super) fn plan(view: View<'_>, plan: &plan::Plan) -> Plan {
    let summary = &plan.summary;
    let unit = view.unit_of(summary.fit);
    let limits = Limits::of(view);
    let by_total = view.matching.aim.by == Measured::Total;
    Plan {
        spread: Some(view.of_fit(summary.fit, summary.spread)),
        scatter: Some(quantity(summary.scatter, unit)),
        mean: Some(quantity(summary.mean, unit)),
        expected_spread: Some(expected(view, summary.fit, &summary.expected_spread)),
        worst: summary.worst.map(|worst| view.of_fit(summary.fit, worst)),
        off_target: summary.off_target.map(|off| quantity(off, unit)),
        total: by_total.then(|| view.of_fit(summary.fit, summary.total)),
        banks: plan.banks.iter().map(|bank| view.on_bank(bank)).collect(),
        settings: view.setting(&plan.setting),
        placements: plan.placements.iter().map(|place| placement(view, &limits, place)).collect(),
        left_out: view.part_ids(&plan.left_out),
        others_left_out: others_left_out(view, &plan.others_left_out),
        moves: plan.moves,
        shopping: plan.shopping.as_ref().map(|shopping| self::shopping(view, shopping)),
        limits: plan.limits.iter().map(|one| limit(view, one)).collect(),
        chance_all_hold: plan.chance_all_hold,
    }
}

/// The shopping list.
fn shopping(view: View<'_>, shopping: &plan::Shopping) -> Shopping {
    let money = |ticks: i64| number(ticks as f64, Unit::Money);
    let line = |line: &plan::Bought| Bought {
        role: view.kind(line.role).to_owned(),
        part: view.part(line.role, line.part).to_owned(),
        count: line.count,
        price: money(line.price),
        total: money(line.total()),
    };
    Shopping { lines: shopping.lines.iter().map(line).collect(), total: money(shopping.total) }
}

/// A quantity known from draws.
pub(super) fn expected(view: View<'_>, fit: FitName, interval: &plan::Interval) -> Expected {
    let unit = view.unit_of(fit);
    Expected {
        value: number(interval.value, unit),
        low: number(interval.low, unit),
        high: number(interval.high, unit),
        unit: unit.symbol().to_owned(),
    }
}

/// Labels by kind.
fn others_left_out(view: View<'_>, left: &[(usize, usize)]) -> BTreeMap<String, Vec<String>> {
    let mut by_kind: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for &(role, part) in left {
        by_kind.entry(view.kind(role).to_owned()).or_default().push(view.part(role, part).to_owned());
    }
    by_kind
}

fn placement(view: View<'_>, limits: &Limits, place: &plan::Placement) -> Placement {
    let roles = || place.parts.iter().enumerate();
    let told = |(role, &part): (usize, &usize)| {
        let from = match view.origin(role, part) {
            Origin::Place(label) => Some(label.to_owned()),
            Origin::Shelf => None,
            Origin::Unsaid => return None,
        };
        Some((view.role_name(role).to_owned(), from))
    };
    Placement {
        position: view.position(place.position).to_owned(),
        bank: view.bank(place.position).map(str::to_owned),
        parts: roles()
            .map(|(role, &part)| (view.role_name(role).to_owned(), view.part(role, part).to_owned()))
            .collect(),
        chamber: view.chamber(place.position),
        comes_from: roles().filter_map(told).collect(),
        fits: place.fits.iter().map(|value| fit(view, limits, place.position, value)).collect(),
    }
}

fn fit(view: View<'_>, limits: &Limits, position: usize, value: &FitValue) -> (String, Fit) {
    let FitValue { fit, estimate } = *value;
    let unit = view.unit_of(fit);
    let margin = limits.margin(fit, position, estimate.value);
    let fields = Fit {
        value: number(estimate.value as f64, unit),
        unit: unit.symbol().to_owned(),
        u: number(estimate.u, unit),
        low: number(estimate.low, unit),
        high: number(estimate.high, unit),
        dof: finite(estimate.dof),
        from_line: estimate.from_line,
        margin: margin.map(|margin| number(margin as f64, unit)),
    };
    (view.fit_name(fit).to_owned(), fields)
}

/// How a limit fares.
pub(super) fn limit(view: View<'_>, limit: &LimitReport) -> Limit {
    let unit = view.unit_of(limit.fit);
    Limit {
        fit: view.fit_name(limit.fit).to_owned(),
        kind: kind(limit.kind),
        state: match limit.state {
            LimitState::Held => "held",
            LimitState::Nominal => "nominal",
            LimitState::Broken => "broken",
        },
        bound: number(limit.bound as f64, unit),
        by_position: limit.by_position,
        guard: limit.guard,
        margin: number(limit.margin as f64, unit),
        band: number(limit.band, unit),
        unit: unit.symbol().to_owned(),
        tightest: limit.tightest.map(|position| view.position(position).to_owned()),
    }
}

/// The word for a kind of limit, also used in CSV.
pub(in crate::render) const fn kind(kind: LimitKind) -> &'static str {
    match kind {
        LimitKind::Side(Bounding::Min) => "min",
        LimitKind::Side(Bounding::Max) => "max",
        LimitKind::Spread => "spread",
        LimitKind::Neighbours => "neighbours",
    }
}
