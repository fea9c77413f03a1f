//! Heads and gaskets as JSON: which serve, what others would cost, what leaves the values uneven.

use pairwright_engine::explain;
use pairwright_engine::fit::Ingredient;
use pairwright_engine::job::{HeadSeat, Scope};
use pairwright_engine::plan;

use super::explanation::least_price;
use super::placed::expected;
use super::setting_document::{Bank, Contribution, OtherSetting, Served};
use super::values::quantity;
use crate::render::view::View;

impl View<'_> {
    /// What serves which bank, in the order of `place` and then of the banks.
    pub(super) fn setting(self, setting: &plan::Setting) -> Vec<Served> {
        self.all_served(&setting.served)
    }

    fn all_served(self, all: &[plan::Served]) -> Vec<Served> {
        all.iter().map(|served| self.served(*served)).collect()
    }

    fn served(self, served: plan::Served) -> Served {
        let role = self.kind(served.role);
        let bank = served.bank.and_then(|bank| self.job.banks.get(bank));
        let seat = match bank.and_then(|bank| bank.head) {
            Some(HeadSeat::Turned) => "turned",
            Some(HeadSeat::AsMeasured) | None => "as measured",
        };
        Served {
            role: role.to_owned(),
            bank: served.bank.map(|bank| self.bank_name(bank).to_owned()),
            part: self.part(served.role, served.part).to_owned(),
            seat: (role == "head").then_some(seat),
        }
    }

    /// The aim's fit on one bank.
    pub(super) fn on_bank(self, summary: &plan::BankSummary) -> Bank {
        let fit = self.matching.aim.fit;
        Bank {
            name: self.bank_name(summary.bank).to_owned(),
            mean: quantity(summary.mean, self.unit_of(fit)),
            spread: self.of_fit(fit, summary.spread),
            expected_spread: expected(self, fit, &summary.expected_spread),
        }
    }

    /// The chamber over a position, counted from 1, where the match places heads.
    pub(in crate::render) fn chamber(self, position: usize) -> Option<usize> {
        self.matching.role("head").and_then(|_| self.chamber_over(position))
    }

    pub(super) fn other_setting(self, other: &explain::OtherSetting) -> OtherSetting {
        OtherSetting {
            role: self.kind(other.role).to_owned(),
            settings: self.all_served(&other.served),
            turned_about: other.turned_about,
            plan: self.alternative(&other.plan),
            least_price: least_price(&other.plan),
            undecided: other.plan == explain::Alternative::Undecided,
        }
    }

    pub(super) fn contribution(self, contribution: &explain::Contribution) -> Contribution {
        Contribution {
            ingredient: ingredient(contribution.of),
            spread: self.of_fit(self.matching.aim.fit, contribution.spread),
        }
    }

    /// Where the match puts the parts of a role: `position`, `bank` or `engine`.
    pub(super) fn scope(self, kind: &str) -> &'static str {
        match self.matching.scope(kind) {
            Scope::Position => "position",
            Scope::Bank => "bank",
            Scope::Engine => "engine",
        }
    }
}

const fn ingredient(of: Ingredient) -> &'static str {
    match of {
        Ingredient::Deck => "deck",
        Ingredient::Chamber => "chamber",
        Ingredient::Dish => "dish",
        Ingredient::Gasket => "gasket",
        Ingredient::Swept => "swept",
        Ingredient::Crevice => "crevice",
        Ingredient::Recess => "recess",
    }
}
