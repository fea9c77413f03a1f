//! What bundles keep over all positions together: limits on spreads and on neighbours, what may be spent, and what the criteria
//! before one came to.

use pairwright_proof::{Bundles, Item, Measure, Sense, SeveralLimit, SeveralRule, Slot, Worth};

use super::super::admission::Relaxed;
use super::super::choose::squares_slack;
use super::super::criteria::{Criterion, layer_of};
use super::super::layer::Layer;
use super::bundles::Several;
use crate::fit::Doubt;
use crate::job::FitName;
use crate::limit::band;
use crate::plan::LimitKind;
use crate::quantity::Amount;
use crate::statistics::Dof;

/// A limit over all positions.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Kept {
    pub(super) layer: Layer,
    pub(super) rule: Rule,
    /// The limit of the match that it is.
    pub(super) of: Option<usize>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Rule {
    NoWorse {
        measure: Measure,
        sense: Sense,
        than: i128,
    },
    /// Neighbours are so far apart at most, in ticks.
    Neighbours(i64),
}

impl Kept {
    /// A criterion that has come to a value, of which `give` may be given away.
    pub(super) fn settled(criterion: Criterion, value: i128, give: i128) -> Self {
        let Criterion { layer, measure, sense } = criterion;
        let than = if sense == Sense::Least { value.saturating_add(give) } else { value.saturating_sub(give) };
        Self { layer, rule: Rule::NoWorse { measure, sense, than }, of: None }
    }
}

impl Several<'_> {
    /// The limits of the match over all positions, with what may be spent; and whether some guard bands are wider than
    /// others, so that these are held with the widest, or with the narrowest.
    pub(super) fn limits_over_all(&self, relaxed: Relaxed) -> (Vec<Kept>, bool) {
        let (question, mut uneven) = (self.question, false);
        let mut all = Vec::new();
        for (index, limit) in question.limits.iter().enumerate() {
            let Some(bound) = limit.bound(0).filter(|_| !matches!(limit.kind, LimitKind::Side(_))) else { continue };
            let [narrowest, widest] = if limit.guard && !relaxed.unguarded { self.bands(limit.fit) } else { [0, 0] };
            uneven |= narrowest != widest;
            let band = if relaxed.by_narrowest { narrowest } else { widest };
            let ticks = bound.saturating_sub(band).saturating_add(relaxed.outward(index));
            let spread = Rule::NoWorse { measure: Measure::Spread, sense: Sense::Least, than: ticks.into() };
            let rule = if limit.kind == LimitKind::Spread { spread } else { Rule::Neighbours(ticks) };
            all.push(Kept { layer: layer_of(question, limit.fit), rule, of: Some(index) });
        }
        let spend = question.matching.buying.spend.filter(|_| !relaxed.unpaid).map(Amount::ticks);
        all.extend(spend.map(|most| {
            let rule = Rule::NoWorse { measure: Measure::Total, sense: Sense::Least, than: most.into() };
            Kept { layer: Layer::Price, rule, of: None }
        }));
        (all, uneven)
    }

    /// What is held, what may be spent aside.
    pub(super) fn held_whatever_it_costs(&self) -> Vec<Kept> {
        let is_spend = |kept: &Kept| kept.layer == Layer::Price && kept.of.is_none();
        self.held.iter().filter(|kept| !is_spend(kept)).copied().collect()
    }

    /// The narrowest and the widest guard band of the difference between any two positions, in whole ticks.
    fn bands(&self, name: FitName) -> [i64; 2] {
        let Some(fit) = self.question.fit(name) else { return [0, 0] };
        let mut dof = Dof::INFINITE;
        // Of every position the least and the greatest variance.
        let mut ends: Vec<[f64; 2]> = Vec::new();
        for position in 0..self.pile.slots {
            let mut own: Option<[f64; 2]> = None;
            self.each_bundle(|items| {
                let seat = self.seat(position, items).filter(|_| self.may_stand(position, items));
                let Some(Doubt { u, dof: of, .. }) = seat.and_then(|seat| fit.doubt(seat)) else { return };
                dof = if of < dof { of } else { dof };
                let [low, high] = own.unwrap_or([f64::INFINITY, 0.0]);
                own = Some([low.min(u * u), high.max(u * u)]);
            });
            ends.extend(own);
        }
        let mut low: Vec<f64> = ends.iter().map(|[low, _]| *low).collect();
        let mut high: Vec<f64> = ends.iter().map(|[_, high]| *high).collect();
        low.sort_by(f64::total_cmp);
        high.sort_by(|one, other| other.total_cmp(one));
        let of_two = |variances: &[f64]| {
            let variance: f64 = variances.iter().take(2).sum();
            whole_ticks(band(Doubt { u: variance.sqrt(), dof, from_line: false }, &self.question.guard))
        };
        // Errors that positions share cancel in a difference: it may be known better than each of the two.
        let narrowest = if self.is_apart_by_position(name) { of_two(&low) } else { 0 };
        [narrowest, of_two(&high)]
    }

    /// Whether values of a fit at two positions share no error: everything in it is of the position or of a part that is
    /// placed there.
    fn is_apart_by_position(&self, name: FitName) -> bool {
        let (question, matching) = (self.question, self.question.matching);
        match question.job.fits.get(name) {
            Some(declared) => declared.terms.iter().all(|term| {
                term.owner == question.positions.kind || matching.place.iter().any(|role| role.name == term.owner)
            }),
            None => name == FitName::Mass,
        }
    }

    /// What a criterion may give away of this value, in its own unit.
    pub(super) fn given(&self, at: usize, criterion: Criterion, value: i128) -> i128 {
        match self.question.matching.aim.slack.filter(|_| at == self.aim_at()).map(Amount::ticks) {
            None => 0,
            Some(slack) if matches!(criterion.measure, Measure::SquaresAboutMean | Measure::SquaresFrom { .. }) => {
                squares_slack(self.pile.slots, criterion.measure, value, slack).into()
            }
            Some(slack) => slack.into(),
        }
    }

    /// Hands limits over as the solver and the checker take them, where `main` is the layer of the measure.
    pub(super) fn with_limits<R>(
        &self,
        main: Option<Layer>,
        kept: &[Kept],
        run: impl FnOnce(&[SeveralLimit<'_>]) -> R,
    ) -> R {
        let worth = |kept: &Kept| {
            let layer = kept.layer;
            move |slot: Slot, items: &[Item]| self.layer_value(layer, slot, items)
        };
        let worths: Vec<_> = kept.iter().map(worth).collect();
        let limits: Vec<SeveralLimit<'_>> = kept
            .iter()
            .zip(&worths)
            .map(|(kept, worth)| SeveralLimit {
                worth: (Some(kept.layer) != main).then_some(Worth::Function(worth)),
                rule: match kept.rule {
                    Rule::NoWorse { measure, sense, than } => SeveralRule::NoWorse { measure, sense, than },
                    Rule::Neighbours(ticks) => SeveralRule::Apart { pairs: &self.neighbours, ticks },
                },
            })
            .collect();
        run(&limits)
    }

    /// Whether bundles keep these limits.
    pub(super) fn keeps(&self, kept: &[Kept], bundles: &Bundles) -> bool {
        self.with_limits(None, kept, |limits| {
            kept.iter().zip(limits).all(|(kept, limit)| {
                let values = self.layer_values(kept.layer, bundles);
                let values: Option<Vec<i128>> = values.map(|values| values.into_iter().map(i128::from).collect());
                values.and_then(|values| limit.rule.holds(&values)) == Some(true)
            })
        })
    }
}

#[expect(clippy::cast_possible_truncation, reason = "bands are below a metre: far inside i64")]
fn whole_ticks(band: f64) -> i64 {
    band.ceil() as i64
}
