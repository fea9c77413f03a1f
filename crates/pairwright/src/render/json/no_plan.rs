//! Why there is no plan, as JSON.

use pairwright_engine::plan;
use pairwright_engine::quantity::Unit;

use super::document::{Culprit, Impossible, Missing, NoPlanReach, TooCoarse};
use super::placed::kind;
use crate::render::view::{View, number};

impl View<'_> {
    pub(super) fn impossible(self, why: &plan::Impossible) -> Impossible {
        let plan::RuledOut { settings: proven, of } = why.no_plan.reach();
        Impossible {
            settings: self.setting(&why.setting),
            positions: self.position_ids(&why.positions),
            parts: self.part_ids(&why.parts),
            culprits: why.culprits.iter().map(|culprit| self.culprit(culprit)).collect(),
            proof: NoPlanReach { settings: proven, of },
            too_coarse: why.too_coarse.iter().map(|coarse| self.too_coarse(coarse)).collect(),
        }
    }

    fn culprit(self, culprit: &plan::Culprit) -> Culprit {
        match culprit {
            plan::Culprit::Limit { fit, kind: of, enough, setting } => Culprit::Limit {
                fit: self.fit_name(*fit).to_owned(),
                kind: kind(*of),
                enough: enough.map(|ticks| self.of_fit(*fit, ticks)),
                settings: self.setting(setting),
            },
            plan::Culprit::Spend { least } => Culprit::Spend { least: number(*least as f64, Unit::Money) },
            plan::Culprit::KeepOrBar => Culprit::KeepOrBar,
            plan::Culprit::Fits => Culprit::Fits,
            plan::Culprit::Untied => Culprit::Untied,
        }
    }

    fn too_coarse(self, coarse: &plan::TooCoarse) -> TooCoarse {
        let unit = self.unit_of(coarse.fit);
        TooCoarse {
            fit: self.fit_name(coarse.fit).to_owned(),
            position: self.position(coarse.position).to_owned(),
            room: number(coarse.room as f64, unit),
            bands: number(coarse.bands, unit),
            unit: unit.symbol().to_owned(),
            repeats: coarse.repeats,
        }
    }
}

pub(super) fn missing(view: View<'_>, lack: &plan::Lack) -> Missing {
    Missing { fit: view.fit_name(lack.fit).to_owned(), what: lack.what.clone() }
}
