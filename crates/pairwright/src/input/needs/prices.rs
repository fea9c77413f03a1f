//! Prices, where a match asks what its parts cost.

use std::ops::Range;

use pairwright_engine::job::Next;

use crate::diagnostic::{Code, Diagnostic};

use super::Needs;
use super::wanted::Wanted;

impl Needs<'_> {
    /// Some part has to have a price where prices count; those without one are there already and cost nothing.
    pub(super) fn prices(&mut self) {
        let Some((span, why)) = self.asks_for_prices() else { return };
        let wanted = Wanted { place: self.names.job.place(span), why: why.to_owned() };
        let placed: Vec<_> = self.resolved.matching.place.iter().filter_map(|role| self.stock(&role.kind)).collect();
        let any = placed.iter().any(|(read, grid)| {
            grid.has_refused()
                || (0..read.stock.parts.len())
                    .any(|row| grid.is_bad(row, "price") || read.stock.columns.value("price", row).is_some())
        });
        let Some(&(read, grid)) = placed.first().filter(|_| !any) else { return };
        if !grid.has("price") {
            let help = "write down what each costs and add the column, for example as `price`";
            return self.no_column(read, grid, "price", help, &wanted);
        }
        let item = Diagnostic::missing(Code::NeedCell, format!("no {} has a price", read.stock.kind))
            .at(grid.header_place(), "")
            .at(wanted.place, wanted.why)
            .help("write down what those cost that have to be bought; a part without a price is yours already");
        self.found.push(item.in_cell("price"));
    }

    /// The first place that asks for prices.
    fn asks_for_prices(&self) -> Option<(Range<usize>, &'static str)> {
        let draft = self.resolved.draft;
        let costs = |next: Next| matches!(next, Next::Price | Next::Bought);
        let named = |all: &[crate::input::job_file::At<Next>]| {
            all.iter().find(|next| costs(next.value)).map(|next| next.span.clone())
        };
        let spend = draft.spend.as_ref().map(|spend| (spend.span.clone(), "so much may be spent"));
        let first = || named(&draft.first).map(|span| (span, "the price counts first"));
        let then = || draft.then.as_deref().and_then(named).map(|span| (span, "the price counts next"));
        spend.or_else(first).or_else(then)
    }
}
