//! The tables that the solver sees, and the order of its criteria.

use pairwright_proof::{Item, Measure, Sense, Shape, Slot, Table, TableError};

use super::admission::Relaxed;
use super::alike::Kept;
use super::choose::slot;
use super::criteria::{criteria, layer_of};
use super::frame::Frame;
use super::layer::Layer;
use super::question::Question;
use super::spending::{Spend, spent_beside};
use super::spread_band::{SpreadBands, spread_bands};
use crate::job::{FitName, Measured};
use crate::plan::LimitKind;
use crate::quantity::Amount;
use crate::reduction::Pair;

/// One criterion, naming its table by index.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Rank {
    pub(crate) table: usize,
    pub(crate) measure: Measure,
    pub(crate) sense: Sense,
    pub(crate) slack: i64,
}

impl Rank {
    /// The less the better, with no slack.
    pub(crate) const fn least(table: usize, measure: Measure) -> Self {
        Self { table, measure, sense: Sense::Least, slack: 0 }
    }
}

/// A limit on a spread or on a difference, naming its table by index.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Width {
    pub(crate) table: usize,
    /// Index of the limit.
    pub(crate) limit: usize,
    /// Widest spread, or greatest difference, that is held, in ticks; negative when the guard band alone is wider.
    pub(crate) ticks: i64,
}

/// Tables of ticks, positions × parts, with the criteria and spread limits over them.
///
/// The first table is the aim's fit and forbids every pair that may not be chosen; the others
/// carry values only.
#[derive(Clone, Debug)]
pub(crate) struct Tables {
    pub(crate) of_ticks: Vec<Table>,
    pub(crate) ranks: Vec<Rank>,
    pub(crate) widths: Vec<Width>,
    /// Limits on the difference between neighbours: as widths, and for every two neighbours of `next_to`.
    pub(crate) apart: Vec<Width>,
    /// Positions that stand side by side.
    pub(crate) next_to: Vec<(usize, usize)>,
    /// The parts that are the tables' columns.
    pub(crate) kept: Kept,
    /// A limit on a spread has a guard band that differs from pair to pair.
    pub(crate) uneven: bool,
    /// So many of the criteria come before the aim.
    pub(crate) before: usize,
    /// What may be spent in all.
    pub(crate) spend: Option<Spend>,
}

/// What is to be laid out, before it is.
#[derive(Debug)]
struct Outline {
    layers: Vec<Layer>,
    ranks: Vec<Rank>,
    widths: Vec<Width>,
    apart: Vec<Width>,
    uneven: bool,
}

impl Tables {
    /// Lays out the tables of a frame, the limits relaxed as `relaxed` says.
    ///
    /// # Errors
    /// [`TableError`] for more positions or parts than the solver takes.
    pub(crate) fn new(frame: &Frame<'_>, relaxed: Relaxed) -> Result<Self, TableError> {
        let mut outline = Outline {
            layers: vec![Layer::Aim],
            ranks: Vec::new(),
            widths: Vec::new(),
            apart: Vec::new(),
            uneven: false,
        };
        let buying = &frame.question.matching.buying;
        outline.rank(frame.question);
        outline.limit_differences(frame, relaxed);
        let most = buying.spend.filter(|_| !relaxed.unpaid).map(Amount::ticks);
        let left = |most: i64| most.saturating_sub(spent_beside(frame));
        let spend = most.map(|most| Spend { table: outline.layer(Layer::Price), most: left(most) });
        let kept = Kept::of(frame, relaxed, &outline.layers);
        let of_ticks =
            outline.layers.iter().map(|&layer| lay(frame, relaxed, &kept, layer)).collect::<Result<_, _>>()?;
        let Outline { ranks, widths, apart, uneven, .. } = outline;
        let next_to = frame.question.neighbours();
        Ok(Self { of_ticks, ranks, widths, apart, next_to, kept, uneven, before: buying.first.len(), spend })
    }

    /// Adds the table of moves and gives its index. In a pile the parts that stand somewhere are
    /// laid out already only if moves were among the criteria.
    pub(crate) fn with_moves(&mut self, frame: &Frame<'_>) -> Result<usize, TableError> {
        let moves = lay(frame, Relaxed::default(), &self.kept, Layer::Moves)?;
        if let Some(known) = self.of_ticks.iter().skip(1).position(|known| *known == moves) {
            return Ok(known + 1);
        }
        self.of_ticks.push(moves);
        Ok(self.of_ticks.len() - 1)
    }

    /// The solver's name for a part, or for one that is like it.
    pub(crate) fn item(&self, part: usize) -> Item {
        Item::new(self.kept.column(part))
    }

    /// A part that no table can tell from `part` and that is not among `used`.
    pub(crate) fn spare_like(&self, part: usize, used: &[usize]) -> Option<usize> {
        self.kept.like(part, self.kept.parts.iter().copied().filter(|other| !used.contains(other)))
    }

    /// The part among `used` that no table can tell from `part`.
    pub(crate) fn used_like(&self, part: usize, used: &[usize]) -> Option<usize> {
        self.kept.like(part, used.iter().copied())
    }

    /// Whether a part, or one like it, may go to a position by every limit on single positions.
    pub(crate) fn admits(&self, position: usize, part: usize) -> bool {
        self.of_ticks[0].get(slot(position), self.item(part)).is_some()
    }

    /// For every column how far the aim's value of its part is from `value` where that is least; `None` where it may go
    /// nowhere.
    pub(crate) fn away(&self, value: i64) -> Vec<Option<u64>> {
        let table = &self.of_ticks[0];
        let mut away: Vec<Option<u64>> = vec![None; table.shape().items];
        for slot in table.slots() {
            for (away, &own) in away.iter_mut().zip(table.row(slot)) {
                if own != Table::FORBIDDEN {
                    *away = Some(away.unwrap_or(u64::MAX).min(own.abs_diff(value)));
                }
            }
        }
        away
    }

    /// The part of a column.
    pub(crate) fn part(&self, item: Item) -> usize {
        self.kept.parts[item.index()]
    }
}

impl Outline {
    fn rank(&mut self, question: &Question<'_>) {
        for (at, criterion) in criteria(question).into_iter().enumerate() {
            let aim = &question.matching.aim;
            // A slack on squares is a root mean square; it becomes ticks once the best squares are known.
            let may_give = at == question.matching.buying.first.len() && aim.by != Measured::Squares;
            let slack = aim.slack.filter(|_| may_give).map_or(0, Amount::ticks);
            let table = self.layer(criterion.layer);
            self.ranks.push(Rank { table, measure: criterion.measure, sense: criterion.sense, slack });
        }
    }

    fn limit_differences(&mut self, frame: &Frame<'_>, relaxed: Relaxed) {
        for (index, limit) in frame.question.limits.iter().enumerate() {
            let Some(bound) = limit.bound(0).filter(|_| !matches!(limit.kind, LimitKind::Side(_))) else { continue };
            let guarded = limit.guard && !relaxed.unguarded;
            let bands = if guarded { spread_bands(frame, limit.fit) } else { SpreadBands { narrowest: 0, widest: 0 } };
            let band = if relaxed.by_narrowest { bands.narrowest } else { bands.widest };
            self.uneven |= bands.narrowest != bands.widest;
            let table = self.fit(frame, limit.fit);
            let ticks = bound - band + relaxed.outward(index);
            let into = if limit.kind == LimitKind::Spread { &mut self.widths } else { &mut self.apart };
            into.push(Width { table, limit: index, ticks });
        }
    }

    /// The index of the table of a fit.
    fn fit(&mut self, frame: &Frame<'_>, name: FitName) -> usize {
        self.layer(layer_of(frame.question, name))
    }

    fn layer(&mut self, layer: Layer) -> usize {
        self.layers.iter().position(|&known| known == layer).unwrap_or_else(|| {
            self.layers.push(layer);
            self.layers.len() - 1
        })
    }
}

fn lay(frame: &Frame<'_>, relaxed: Relaxed, kept: &Kept, layer: Layer) -> Result<Table, TableError> {
    let shape = Shape { slots: frame.question.positions.len(), items: kept.parts.len() };
    let pair = |slot: Slot, item: Item| Pair { position: slot.index(), part: kept.parts[item.index()] };
    Table::from_fn(shape, |slot, item| layer.value(frame, relaxed, pair(slot, item)))
}
