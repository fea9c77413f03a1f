//! A plan as JSON.

use pairwright_engine::job::{Bounding, Measured};
use pairwright_engine::plan::{self, FitValue, LimitKind, LimitReport, LimitState};

use super::plan_document::{Expected, Fit, Limit, Placement, Plan};
use super::values::{finite, quantity};
use crate::render::tightest::Limits;
use crate::render::view::{View, number};

/// A plan of the match.
pub(super) fn plan(view: View<'_>, plan: &plan::Plan) -> Plan {
    let summary = &plan.summary;
    let unit = view.unit_of(summary.fit);
    let limits = Limits::of(view);
    let expected = &summary.expected_spread;
    let by_total = view.matching.aim.by == Measured::Total;
    Plan {
        spread: Some(view.of_fit(summary.fit, summary.spread)),
        scatter: Some(quantity(summary.scatter, unit)),
        expected_spread: Some(Expected {
            value: number(expected.value, unit),
            low: number(expected.low, unit),
            high: number(expected.high, unit),
            unit: unit.symbol().to_owned(),
        }),
        worst: summary.worst.map(|worst| view.of_fit(summary.fit, worst)),
        off_target: summary.off_target.map(|off| quantity(off, unit)),
        total: by_total.then(|| view.of_fit(summary.fit, summary.total)),
        placements: plan.placements.iter().map(|place| placement(view, &limits, place)).collect(),
        left_out: view.part_ids(&plan.left_out),
        moves: plan.moves,
        limits: plan.limits.iter().map(|one| limit(view, one)).collect(),
        chance_all_hold: plan.chance_all_hold,
    }
}

fn placement(view: View<'_>, limits: &Limits, place: &plan::Placement) -> Placement {
    let roles = || place.parts.iter().enumerate();
    let told = |(role, &part): (usize, &usize)| {
        let from = view.stands_at(role, part).map(|at| view.position(at).to_owned());
        view.knows_where_parts_stand(role).then(|| (view.kind(role).to_owned(), from))
    };
    Placement {
        position: view.position(place.position).to_owned(),
        bank: view.bank(place.position).map(str::to_owned),
        parts: roles().map(|(role, &part)| (view.kind(role).to_owned(), view.part(role, part).to_owned())).collect(),
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
    (fit.name().to_owned(), fields)
}

fn limit(view: View<'_>, limit: &LimitReport) -> Limit {
    let unit = view.unit_of(limit.fit);
    Limit {
        fit: limit.fit.name().to_owned(),
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
