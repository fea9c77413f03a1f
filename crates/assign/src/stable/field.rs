//! What is asked about single pairs of a problem, with a best choice of it.

use crate::best::{over_pairs, score};
use crate::divide::least_under_windows;
use crate::problem::Problem;
use crate::region::Region;
use pairwright_proof::{Choice, Criterion, Item, Measure, Slot, evaluate};

/// A problem's first criterion, what there is to choose from, and a best choice.
#[derive(Debug)]
pub(super) struct Field<'t> {
    pub(super) problem: Problem<'t>,
    pub(super) criterion: Criterion<'t>,
    /// Everything that may be chosen, the windows aside.
    pub(super) whole: Region<'t>,
    pub(super) choice: Choice,
    /// The score of the choice.
    pub(super) best: i128,
}

/// The pair asked about.
#[derive(Clone, Copy, Debug)]
pub(super) struct Asked {
    pub(super) slot: Slot,
    pub(super) item: Item,
    pub(super) value: i64,
    pub(super) is_chosen: bool,
}

impl<'t> Field<'t> {
    /// `None` if the choice breaks a rule or is not best by the criterion.
    pub(super) fn new(problem: &Problem<'t>, criterion: Criterion<'t>, choice: &Choice) -> Option<Self> {
        let (problem, whole) = (problem.clone(), Region::whole(problem));
        if !keeps_rules(&problem, &whole, choice) {
            return None;
        }
        let best = score(&criterion, choice.items())?;
        let field = Self { problem, criterion, whole, choice: choice.clone(), best };
        (field.least(field.whole.clone()) == Some(best)).then_some(field)
    }

    /// `None` if there is no such pair.
    pub(super) fn ask(&self, slot: Slot, item: Item) -> Option<Asked> {
        let grid = &self.whole.grid;
        let is_there = slot.index() < grid.slot_count() && item.index() < grid.item_count();
        if !is_there || !grid.has(slot, item) {
            return None;
        }
        let value = self.criterion.table.get(slot, item)?;
        Some(Asked { slot, item, value, is_chosen: self.choice.item(slot) == Some(item) })
    }

    /// The score of the best choice with the pair as it is.
    pub(super) fn with(&self, asked: Asked) -> Option<i128> {
        self.least(self.forced(asked))
    }

    /// The score of the best choice without the pair.
    pub(super) fn without(&self, asked: Asked) -> Option<i128> {
        let mut region = self.whole.clone();
        region.grid.clear(asked.slot, asked.item);
        self.least(region)
    }

    /// What there is to choose from with the pair.
    pub(super) fn forced(&self, asked: Asked) -> Region<'t> {
        let mut region = self.whole.clone();
        region.grid.force(asked.slot, asked.item);
        region
    }

    /// The least that `relax` finds in a region under the windows, by its key.
    pub(super) fn under_windows<K: Ord, B>(
        &self,
        region: Region<'t>,
        relax: impl FnMut(&Region<'t>) -> Option<(K, B)>,
    ) -> Option<(K, B)> {
        least_under_windows(&self.problem, region, relax)
    }

    /// The values of the choice's other pairs.
    pub(super) fn own_rest(&self, asked: Asked) -> impl Iterator<Item = i64> + '_ {
        let others = self.choice.pairs().filter(move |&(slot, _)| slot != asked.slot);
        others.map(|(slot, item)| self.criterion.table.row(slot)[item.index()])
    }

    fn least(&self, region: Region<'t>) -> Option<i128> {
        let relax = |region: &Region<'t>| Some((over_pairs(&self.criterion, &region.grid, &region.must)?.score, ()));
        self.under_windows(region, relax).map(|(score, ())| score)
    }
}

fn keeps_rules(problem: &Problem<'_>, whole: &Region<'_>, choice: &Choice) -> bool {
    let is_allowed = |(slot, item): (Slot, Item)| item.index() < whole.grid.item_count() && whole.grid.has(slot, item);
    choice.items().len() == whole.grid.slot_count()
        && choice.pairs().all(is_allowed)
        && whole.must.iter().all(|item| choice.items().contains(&Item::new(item)))
        && !is_twice(choice)
        && problem.windows().iter().all(|window| {
            evaluate(Measure::Spread, window.table, choice).is_ok_and(|spread| spread <= window.width.into())
        })
}

fn is_twice(choice: &Choice) -> bool {
    let mut items = choice.items().to_vec();
    items.sort_unstable();
    items.windows(2).any(|two| two[0] == two[1])
}
