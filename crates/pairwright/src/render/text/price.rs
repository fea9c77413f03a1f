//! What an alternative costs, in words.

use pairwright_engine::explain::{AtMost, Price};
use pairwright_engine::job::{Goal, Measured};
use pairwright_engine::quantity::Amount;

use super::english::GLUE;
use super::figure;
use super::shopping::money;
use super::words::Words;

impl Words<'_> {
    /// `spread 0.0003 in more, scatter 0.0001 in more`, with a word where it is below the readings' doubt.
    pub(super) fn price(self, price: &Price) -> String {
        let mut all = Vec::new();
        if price.aim != 0 {
            all.push(format!("{} {}{GLUE}worse", self.aim_measure(), self.difference(price.aim)));
        }
        all.push(self.change("spread", price.spread));
        let scatter = if price.at_most == AtMost::AfterTheAim { "scatter at most" } else { "scatter" };
        all.push(match figure::whole(price.scatter) {
            more @ 1.. => self.change(scatter, more),
            other => self.change("scatter", other),
        });
        match price.money {
            0 => {}
            1.. => all.push(format!("{} more to spend", money(price.money))),
            _ => all.push(format!("{} less to spend", money(-price.money))),
        }
        let doubted = price.below_doubt && (price.spread != 0 || price.aim != 0);
        let doubted = if doubted { format!("; below the {}' doubt", self.measured()) } else { String::new() };
        let at_most = if price.at_most == AtMost::All { "; at most that, for the search ended early" } else { "" };
        all.join(", ") + at_most + &doubted
    }

    /// What a doubt comes from: readings, or in a job without any what else was measured.
    pub(super) fn measured(self) -> &'static str {
        if self.view.job.deck.is_some() { "readings" } else { "measurements" }
    }

    /// The measure of the aim where it is neither spread nor scatter.
    pub(super) fn aim_measure(self) -> &'static str {
        let aim = &self.view.matching.aim;
        match (aim.goal, aim.by) {
            (Goal::Near(_), _) => "largest deviation",
            (Goal::Highest, Measured::Extreme) => "lowest value",
            (Goal::Lowest, Measured::Extreme) => "highest value",
            (Goal::Even, _) => "evenness",
            (Goal::Highest | Goal::Lowest, _) => "total",
        }
    }

    fn change(self, what: &str, ticks: i64) -> String {
        match ticks {
            0 => format!("same{GLUE}{what}"),
            1.. => format!("{what} {}{GLUE}more", self.difference(ticks)),
            _ => format!("{what} {}{GLUE}less", self.difference(ticks)),
        }
    }

    /// A price as a cell: the size alone where it is more, `none`, or with the word `less`.
    pub(super) fn price_cell(self, ticks: i64) -> String {
        match ticks {
            0 => "none".to_owned(),
            1.. => figure::size(ticks, self.unit(), self.decimals),
            _ => format!("{}{GLUE}less", figure::size(ticks, self.unit(), self.decimals)),
        }
    }

    /// `no plan for 200.00 or less; the cheapest costs 245.00`.
    pub(super) fn too_dear(self, least: Option<i64>) -> String {
        let most = self.view.matching.buying.spend.map_or(0, Amount::ticks);
        let none = format!("no plan for {} or less", money(most));
        least.map_or(none.clone(), |least| format!("{none}; the cheapest costs {}", money(least)))
    }

    /// Where another plan differs: `piston D to cylinder 3, piston A to cylinder 5`.
    pub(super) fn differences(self, mine: &[usize], other: &[usize]) -> Option<String> {
        // Pieces of one type are as good as each other.
        let changed = mine.iter().zip(other).enumerate();
        let changed =
            changed.filter(|(_, (mine, other))| mine != other && self.part_id(**mine) != self.part_id(**other));
        let all: Vec<String> = changed
            .map(|(position, (_, &part))| format!("{} in {}", self.part_id(part), self.position_id(position)))
            .collect();
        (!all.is_empty()).then(|| super::english::short_list(&all, 12))
    }
}
