//! Why two roles chosen jointly give no plan.

use super::admission::Relaxed;
use super::choose::PlanError;
use super::joint::{Found, Joint};
use super::search::Asked;
use super::setting::Setting;
use crate::plan::{Culprit, Impossible, LimitKind};

/// No limit is moved further than this, in ticks: a kilometre.
const FAR: usize = 1 << 40;

/// Each limit with the smallest change of it alone that gives a plan, and the positions that compete.
pub(super) fn jointly(joint: &Joint<'_>) -> Result<Impossible, PlanError> {
    let question = joint.question;
    let mut culprits = Vec::new();
    let too_dear = too_dear(joint)?;
    culprits.extend(too_dear.as_ref().map(|&(_, least)| Culprit::Spend { least }));
    for (index, limit) in question.limits.iter().enumerate() {
        if let Some((ticks, setting)) = enough(joint, index)? {
            culprits.push(Culprit::Limit { fit: limit.fit, kind: limit.kind, enough: Some(ticks), setting });
        }
    }
    let nearest = culprits.iter().min_by_key(|culprit| culprit.enough()).and_then(|culprit| match culprit {
        Culprit::Limit { setting, .. } => Some(setting.clone()),
        Culprit::Spend { .. } | Culprit::KeepOrBar | Culprit::Fits | Culprit::Untied => None,
    });
    if culprits.is_empty() && joint.would_suffice()? {
        // Either kind goes round: it takes more than one limit to keep them from it.
        let all = question.limits.iter();
        let setting = Setting::default();
        culprits.extend(all.map(|limit| Culprit::Limit {
            fit: limit.fit,
            kind: limit.kind,
            enough: None,
            setting: setting.clone(),
        }));
    }
    if culprits.is_empty() {
        let pinned = !question.matching.keep.is_empty() || !question.matching.bar.is_empty();
        culprits.push(if pinned { Culprit::KeepOrBar } else { Culprit::Fits });
    }
    let none = Impossible::without_setting();
    if let Some((setting, _)) = too_dear {
        // There are plans within the limits: no positions compete.
        return Ok(Impossible { setting, culprits, ..none });
    }
    let (positions, parts) = match joint.best(Asked::default())? {
        Found::Short { positions, parts } => (positions, parts),
        Found::Choice { .. } | Found::Undecided => (Vec::new(), Vec::new()),
    };
    Ok(Impossible { setting: nearest.unwrap_or_default(), positions, parts, culprits, ..none })
}

/// What the cheapest plan within the limits costs, and its setting, where that is more than may be spent.
fn too_dear(joint: &Joint<'_>) -> Result<Option<(Setting, i64)>, PlanError> {
    let Some(most) = joint.spend else { return Ok(None) };
    let Some((pick, price, true)) = joint.cheapest()? else { return Ok(None) };
    let price = i64::try_from(price).ok().filter(|&price| price > most);
    Ok(price.map(|price| (joint.settings()[pick.setting].clone(), price)))
}

impl Joint<'_> {
    /// Whether there are enough parts of either role, limits and what they are worth aside.
    fn would_suffice(&self) -> Result<bool, PlanError> {
        let tables = self.tables(Asked::default())?;
        Ok(!self.settings().is_empty() && tables.iter().all(super::served::serves))
    }
}

/// The smallest outward change of a limit with which a plan is found, and the setting it does so with: found by bisecting over
/// the distances by which parts miss it, or over whole ticks where it bounds a difference.
fn enough(joint: &Joint<'_>, limit: usize) -> Result<Option<(i64, Setting)>, PlanError> {
    let side = matches!(joint.question.limits[limit].kind, LimitKind::Side(_));
    let steps = if side { joint.shortfalls(limit) } else { Vec::new() };
    let ticks = |at: usize| if side { steps[at] } else { i64::try_from(at + 1).unwrap_or(i64::MAX) };
    let with = |ticks| -> Result<Option<Setting>, PlanError> {
        let moved = Joint::new(joint.question, Relaxed { moved: Some((limit, ticks)), ..Relaxed::default() })?;
        Ok(moved.any_within_means()?.map(|pick| moved.settings()[pick.setting].clone()))
    };
    let Some(last) = (if side { steps.len() } else { FAR }).checked_sub(1) else { return Ok(None) };
    let Some(mut setting) = with(ticks(last))? else { return Ok(None) };
    let (mut low, mut high) = (0, last);
    while low < high {
        let middle = low.midpoint(high);
        match with(ticks(middle))? {
            Some(found) => (high, setting) = (middle, found),
            None => low = middle + 1,
        }
    }
    Ok(Some((ticks(low), setting)))
}
