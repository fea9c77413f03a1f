//! Answers to a changed question that leave the plan as it is but for one position.

use pairwright_proof::{Choice, Item, Measure, Shape, Slot, Table, evaluate};

use super::super::choose::{Chosen, PlanError};
use super::super::criteria::of_aim;
use super::super::search::Asked;
use super::super::tables::Rank;
use super::asked::Wanted;
use super::bundles::Several;

impl Several<'_> {
    /// The best choice that differs from the plan in one position only and is what is asked for, with what orders choices;
    /// `None` where there is none, or no plan yet. Among plans as good it is the one that is easiest to see.
    pub(super) fn near_by(&self, asked: Asked<'_>) -> Result<Option<(Vec<i128>, Chosen)>, PlanError> {
        // What a slack gives away is counted from the best aim of the changed question, which is not known here.
        let exact = self.question.matching.aim.slack.is_none() && self.aim_at() == 0;
        let Some((_, plan)) = self.plan.get().filter(|_| exact) else { return Ok(None) };
        let Some(own) = self.together(&plan.parts, &plan.seconds) else { return Ok(None) };
        let slots = || (0..).map(Slot::new).take(self.pile.slots);
        let unasked = Wanted::of(Asked::default());
        let values: Option<Vec<i64>> =
            slots().zip(&own.0).map(|(slot, items)| self.wanted_value(&unasked, slot, items)).collect();
        let Some(values) = values else { return Ok(None) };
        let used: Vec<Item> = own.0.iter().flatten().copied().collect();
        let mut best: Option<(Vec<i128>, Slot, Vec<Item>)> = None;
        for slot in slots() {
            // What is brought in goes here, and what is asked for is true of all other positions as they are.
            let wanted = Wanted { brought_to: asked.bring_in.map(|_| slot.index()), ..Wanted::of(asked) };
            let holds = |(other, items): (Slot, &Vec<Item>)| {
                other == slot || self.wanted_value(&wanted, other, items).is_some()
            };
            if !slots().zip(&own.0).all(holds) {
                continue;
            }
            let mine = &own.0[slot.index()];
            let mut failed = None;
            self.each_bundle(|items| {
                let is_free = |item: &Item| mine.contains(item) || !used.contains(item);
                if items == mine.as_slice() || !items.iter().all(is_free) {
                    return;
                }
                let Some(value) = self.wanted_value(&wanted, slot, items) else { return };
                let mut changed = values.clone();
                changed[slot.index()] = value;
                match self.losses(&changed) {
                    Ok(losses) if best.as_ref().is_none_or(|(known, ..)| losses < *known) => {
                        let mut bundles = own.clone();
                        bundles.0[slot.index()] = items.to_vec();
                        if self.keeps(&self.held, &bundles) {
                            best = Some((losses, slot, items.to_vec()));
                        }
                    }
                    Ok(_) => {}
                    Err(error) => failed = Some(error),
                }
            });
            if let Some(error) = failed {
                return Err(error);
            }
        }
        let Some((_, slot, items)) = best else { return Ok(None) };
        let mut bundles = own;
        bundles.0[slot.index()] = items;
        self.chosen(&bundles).map(Some)
    }

    /// Aim, spread and squares of values in position order, turned so that less is better.
    fn losses(&self, values: &[i64]) -> Result<Vec<i128>, PlanError> {
        let (measure, sense) = of_aim(&self.question.matching.aim);
        let count = values.len();
        let table = Table::from_fn(Shape { slots: count, items: count }, |slot, item| {
            (slot.index() == item.index()).then(|| values[slot.index()])
        })?;
        let choice = Choice::new((0..).map(Item::new).take(count).collect());
        let aim = Rank { sense, ..Rank::least(0, measure) };
        let ranks = [aim, Rank::least(0, Measure::Spread), Rank::least(0, Measure::SquaresAboutMean)];
        ranks.iter().map(|rank| Ok(rank.loss(evaluate(rank.measure, &table, &choice)?))).collect()
    }
}
