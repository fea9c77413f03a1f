//! Why there is no plan, and what would give one.

use std::collections::BTreeSet;

use pairwright_assign::Cause;
use pairwright_proof::Measure;

use super::admission::{Bar, Relaxed};
use super::choose::{Answer, PlanError, Short};
use super::frame::Frame;
use super::impossible_jointly::jointly;
use super::no_plan::NoPlan;
use super::result;
use super::search::{Asked, Layout, Search};
use super::setting::Setting;
use super::several::severally;
use super::tables::{Rank, Tables};
use super::too_coarse::too_coarse;
use crate::plan::{Culprit, Impossible, LimitKind, LimitState, Plan};
use crate::reduction::Pair;

/// Explains why no setting has a plan: by the setting that comes nearest to one, each limit with the smallest
/// change of it alone, over all settings, that would give a plan. That there is none is proven and gone over first, as far as
/// proofs are found.
///
/// # Errors
/// [`PlanError`] from the re-solves, or from the checker.
pub(crate) fn impossible(search: &Search<'_>) -> Result<Impossible, PlanError> {
    let no_plan = search.no_plan()?;
    search.check_no_plan(&no_plan)?;
    let nominal = nominal(search)?.map(Box::new);
    let why = match (search.joint(), search.several()) {
        (Some(joint), _) => jointly(joint)?,
        (None, Some(several)) => severally(several)?,
        (None, None) => nearest(search)?,
    };
    Ok(Impossible { no_plan, nominal, ..why })
}

/// The same where one part a position varies, setting by setting: where only what may be spent is in the way, the nearest is
/// the cheapest.
fn nearest(search: &Search<'_>) -> Result<Impossible, PlanError> {
    let mut nearest: Option<((bool, i64), Impossible)> = None;
    let mut least: Vec<(Culprit, i64)> = Vec::new();
    for layout in search.layouts() {
        let why = match layout.overspent()? {
            Some(least) => too_dear(layout, least)?,
            None => match layout.tables.answer(&layout.tables.problem()?)? {
                Answer::Short(short) => in_setting(layout, &short)?,
                Answer::Chosen(_) | Answer::Undecided => continue,
            },
        };
        let enough = why.culprits.iter().filter_map(Culprit::enough).min().unwrap_or(i64::MAX);
        for culprit in &why.culprits {
            let Some(enough) = culprit.enough() else { continue };
            match least.iter_mut().find(|(known, _)| known.is_about(culprit)) {
                Some(known) if enough < known.1 => *known = (culprit.clone(), enough),
                Some(_) => {}
                None => least.push((culprit.clone(), enough)),
            }
        }
        let away = why.cheapest().map_or((true, enough), |least| (false, least));
        if nearest.as_ref().is_none_or(|(known, _)| away < *known) {
            nearest = Some((away, why));
        }
    }
    let mut why = nearest.map_or_else(Impossible::without_setting, |(_, why)| why);
    for culprit in &mut why.culprits {
        if let Some((best, _)) = least.iter().find(|(known, _)| known.is_about(culprit)) {
            *culprit = best.clone();
        }
    }
    let missing = least.into_iter().map(|(culprit, _)| culprit);
    let missing: Vec<Culprit> =
        missing.filter(|culprit| !why.culprits.iter().any(|known| known.is_about(culprit))).collect();
    why.culprits.extend(missing);
    Ok(why)
}

fn in_setting(layout: &Layout<'_>, short: &Short) -> Result<Impossible, PlanError> {
    Ok(Impossible {
        setting: layout.frame.setting.clone(),
        positions: short.positions.clone(),
        parts: short.parts.clone(),
        culprits: culprits(&layout.frame, short)?,
        by_widest_band: layout.bound.is_some(),
        too_coarse: too_coarse(&layout.frame),
        ..Impossible::without_setting()
    })
}

/// There are plans within the limits, and the cheapest of them costs this, which is more than may be spent.
fn too_dear(layout: &Layout<'_>, least: i64) -> Result<Impossible, PlanError> {
    let frame = &layout.frame;
    let mut culprits = vec![Culprit::Spend { least }];
    for (index, limit) in frame.question.limits.iter().enumerate() {
        if let Some(enough) = enough(frame, index)? {
            let setting = frame.setting.clone();
            culprits.push(Culprit::Limit { fit: limit.fit, kind: limit.kind, enough: Some(enough), setting });
        }
    }
    Ok(Impossible {
        setting: frame.setting.clone(),
        culprits,
        by_widest_band: layout.bound.is_some(),
        ..Impossible::without_setting()
    })
}

impl Culprit {
    /// How far the bound of a limit must move outward, where a change of this one limit is enough.
    #[must_use]
    pub fn enough(&self) -> Option<i64> {
        match self {
            Self::Limit { enough, .. } => *enough,
            Self::Spend { .. } | Self::KeepOrBar | Self::Fits | Self::Untied => None,
        }
    }

    /// Whether both are about the same bound of the same fit.
    fn is_about(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Limit { fit, kind, .. }, Self::Limit { fit: of, kind: bound, .. }) => (fit, kind) == (of, bound),
            _ => false,
        }
    }
}

impl Impossible {
    /// What the cheapest plan within the limits costs, where only what may be spent is in its way.
    fn cheapest(&self) -> Option<i64> {
        self.culprits.iter().find_map(|culprit| match culprit {
            Culprit::Spend { least } => Some(*least),
            _ => None,
        })
    }

    /// No head or gasket may go where one has to.
    pub(super) fn without_setting() -> Self {
        Self {
            setting: Setting::default(),
            positions: Vec::new(),
            parts: Vec::new(),
            culprits: vec![Culprit::Fits],
            by_widest_band: false,
            no_plan: NoPlan::default(),
            nominal: None,
            too_coarse: Vec::new(),
        }
    }
}

/// The best plan with every value taken at face value, unless that is no different.
fn nominal(search: &Search<'_>) -> Result<Option<Plan>, PlanError> {
    let unguarded = Search::new(search.question, Relaxed { unguarded: true, ..Relaxed::default() })?;
    let Some(chosen) = unguarded.best(Asked::default())?.chosen() else { return Ok(None) };
    let plan = result::plan(&unguarded.layout(&chosen)?.frame, &chosen.parts);
    Ok(Some(plan).filter(|plan| plan.limits.iter().any(|limit| limit.state == LimitState::Nominal)))
}

/// What keeps the other parts out of the competing positions, each limit with the smallest change
/// of it alone that would give a plan.
fn culprits(frame: &Frame<'_>, short: &Short) -> Result<Vec<Culprit>, PlanError> {
    let mut bars = BTreeSet::new();
    let competing: BTreeSet<usize> = short.parts.iter().copied().collect();
    for &position in &short.positions {
        for part in (0..frame.stock().parts.len()).filter(|part| !competing.contains(part)) {
            bars.extend(frame.bars(Pair { position, part }, Relaxed::default()));
        }
    }
    let mut culprits = Vec::new();
    for (index, limit) in frame.question.limits.iter().enumerate() {
        let stands_in_the_way =
            bars.contains(&Bar::Limit(index)) || (!matches!(limit.kind, LimitKind::Side(_)) && by_window(short));
        if stands_in_the_way {
            let enough = enough(frame, index)?;
            let setting = frame.setting.clone();
            culprits.push(Culprit::Limit { fit: limit.fit, kind: limit.kind, enough, setting });
        }
    }
    let others = [(Bar::Pinned, Culprit::KeepOrBar), (Bar::Fits, Culprit::Fits), (Bar::Untied, Culprit::Untied)];
    culprits.extend(others.into_iter().filter(|(bar, _)| bars.contains(bar)).map(|(_, culprit)| culprit));
    Ok(culprits)
}

fn by_window(short: &Short) -> bool {
    matches!(short.cause, Cause::Window { .. } | Cause::WindowsTogether)
}

/// The smallest outward change, in ticks, of one limit that gives a plan; `None` if no change of
/// it alone does.
fn enough(frame: &Frame<'_>, limit: usize) -> Result<Option<i64>, PlanError> {
    match frame.question.limits[limit].kind {
        LimitKind::Spread => enough_spread(frame, limit),
        LimitKind::Side(_) => enough_side(frame, limit),
        LimitKind::Neighbours => enough_apart(frame, limit),
    }
}

/// Bisects over the distances by which pairs miss the limit: nothing changes between two of them.
fn enough_side(frame: &Frame<'_>, limit: usize) -> Result<Option<i64>, PlanError> {
    let shortfalls: BTreeSet<i64> = frame
        .pairs()
        .filter(|&pair| frame.may_go(pair) && !frame.pinned_out(pair))
        .map(|pair| frame.shortfall(limit, pair, false))
        .filter(|&shortfall| shortfall > 0)
        .collect();
    let shortfalls: Vec<i64> = shortfalls.into_iter().collect();
    let gives_a_plan = |ticks| -> Result<bool, PlanError> {
        let tables = Tables::new(frame, Relaxed { moved: Some((limit, ticks)), ..Relaxed::default() })?;
        tables.allow_any()
    };
    let (mut low, mut high) = (0, shortfalls.len());
    while low < high {
        let middle = low.midpoint(high);
        if gives_a_plan(shortfalls[middle])? { high = middle } else { low = middle + 1 }
    }
    Ok(shortfalls.get(low).copied())
}

/// Bisects over whole ticks, from nothing to more than any two values differ.
fn enough_apart(frame: &Frame<'_>, limit: usize) -> Result<Option<i64>, PlanError> {
    let gives_a_plan = |ticks| -> Result<bool, PlanError> {
        let tables = Tables::new(frame, Relaxed { moved: Some((limit, ticks)), ..Relaxed::default() })?;
        tables.allow_any()
    };
    let Some(fit) = frame.fit(frame.question.limits[limit].fit) else { return Ok(None) };
    let values: Vec<i64> = frame.pairs().filter_map(|pair| fit.value(pair)).collect();
    let (mut low, mut high) = (1, result::spread(&values) + frame.question.limits[limit].bound(0).unwrap_or(0) + 1);
    if !gives_a_plan(high)? {
        return Ok(None);
    }
    while low < high {
        let middle = low.midpoint(high);
        if gives_a_plan(middle)? { high = middle } else { low = middle + 1 }
    }
    Ok(Some(low))
}

/// The least spread that the limited fit can have, the other limits held, less what is allowed.
fn enough_spread(frame: &Frame<'_>, limit: usize) -> Result<Option<i64>, PlanError> {
    let mut tables = Tables::new(frame, Relaxed::default())?;
    let Some(at) = tables.widths.iter().position(|width| width.limit == limit) else { return Ok(None) };
    let width = tables.widths.remove(at);
    // The aim's table forbids what may not be chosen: it stays in the problem through a second rank.
    tables.ranks = vec![Rank::least(width.table, Measure::Spread), Rank::least(0, Measure::Spread)];
    tables.before = 0;
    let chosen = tables.answer(&tables.problem()?)?.chosen();
    let least = chosen.and_then(|chosen| i64::try_from(chosen.values[0]).ok());
    Ok(least.map(|least| least - width.ticks).filter(|&more| more > 0))
}
