//! How the parts came out of their pile, as JSON.

use pairwright_engine::explain::{self, Because, Price as Known};

use super::explanation_document::{Barred, Contest, Edge, Rival, Selection};
use super::placed::kind;
use crate::render::view::{View, number};

impl View<'_> {
    pub(super) fn selection(self, selection: &explain::Selection) -> Selection {
        Selection {
            of: selection.of,
            placed: selection.placed,
            edge: selection.edge.as_ref().map(|edge| self.edge(edge)),
            positions: selection.contests.iter().map(|contest| self.contest(contest)).collect(),
            too_good: self.part_ids(&selection.too_good),
        }
    }

    fn edge(self, edge: &explain::Edge) -> Edge {
        let unit = self.unit_of(self.matching.aim.fit);
        Edge {
            last_in: self.part_ids(&edge.last_in),
            first_out: self.part_ids(&edge.first_out),
            price: self.price(&Known { below_doubt: edge.below_doubt, ..edge.price }),
            doubt: edge.doubt.map(|doubt| number(doubt, unit)),
        }
    }

    fn contest(self, contest: &explain::Contest) -> Contest {
        let unit = self.unit_of(self.matching.aim.fit);
        let of_aim = |ticks: i64| number(ticks as f64, unit);
        let rival = |rival: explain::Rival| Rival {
            part: self.part_id(rival.part),
            value: of_aim(rival.value),
            gain: of_aim(rival.gain),
            below_doubt: rival.below_doubt,
        };
        let barred = |barred: explain::Barred| {
            let limited = self.unit_of(barred.fit);
            Barred {
                count: barred.count,
                part: self.part_id(barred.part),
                value: of_aim(barred.value),
                fit: self.fit_name(barred.fit).to_owned(),
                kind: kind(barred.kind),
                misses: number(barred.misses as f64, limited),
                spare: number(barred.spare, limited),
                unit: limited.symbol().to_owned(),
            }
        };
        Contest {
            position: self.position(contest.position).to_owned(),
            part: self.part_id(contest.part),
            value: of_aim(contest.value),
            unit: unit.symbol().to_owned(),
            next: contest.next.map(rival),
            because: match contest.because {
                Because::BestOfPile => "best_of_pile",
                Because::AtTheLimit => "at_the_limit",
                Because::Elsewhere(_) => "elsewhere",
                Because::Outranked(_) => "outranked",
            },
            kept_out: contest.barred.map(barred),
        }
    }
}
