//! The tables that the solver sees, and the order of its criteria.

use pairwright_proof::{Item, Measure, Sense, Shape, Slot, Table, TableError};

use super::admission::Relaxed;
use super::alike::Kept;
use super::frame::Frame;
use super::layer::Layer;
use super::spread_band::{SpreadBands, spread_bands};
use crate::job::{Aim, FitName, Goal, Measured, Next};
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
        outline.rank_aim(&frame.question.matching.aim);
        outline.rank_the_rest(frame);
        outline.limit_differences(frame, relaxed);
        let kept = Kept::of(frame, relaxed, &outline.layers);
        let of_ticks =
            outline.layers.iter().map(|&layer| lay(frame, relaxed, &kept, layer)).collect::<Result<_, _>>()?;
        let Outline { ranks, widths, apart, uneven, .. } = outline;
        Ok(Self { of_ticks, ranks, widths, apart, next_to: frame.question.neighbours(), kept, uneven })
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

    /// The part of a column.
    pub(crate) fn part(&self, item: Item) -> usize {
        self.kept.parts[item.index()]
    }
}

impl Outline {
    fn rank_aim(&mut self, aim: &Aim) {
        let (measure, sense) = criterion(aim);
        // A slack on squares is a root mean square; it becomes ticks once the best squares are known.
        let slack = if aim.by == Measured::Squares { 0 } else { aim.slack.map_or(0, Amount::ticks) };
        self.ranks.push(Rank { table: 0, measure, sense, slack });
    }

    /// What decides after the aim: `then`, else least spread, least squares, fewest moves.
    fn rank_the_rest(&mut self, frame: &Frame<'_>) {
        let Some(then) = &frame.question.matching.then else {
            for measure in [Measure::Spread, Measure::SquaresAboutMean] {
                if self.ranks[0].measure != measure {
                    self.ranks.push(Rank::least(0, measure));
                }
            }
            if frame.question.knows_where_parts_stand() {
                let moves = self.layer(Layer::Moves);
                self.ranks.push(Rank::least(moves, Measure::Total));
            }
            return;
        };
        for next in then {
            let rank = match *next {
                Next::Spread(fit) => Rank::least(self.fit(frame, fit), Measure::Spread),
                Next::Moves => Rank::least(self.layer(Layer::Moves), Measure::Total),
                Next::Price => Rank::least(self.layer(Layer::Price), Measure::Total),
            };
            self.ranks.push(rank);
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
        if name == frame.question.matching.aim.fit { 0 } else { self.layer(Layer::Fit(name)) }
    }

    fn layer(&mut self, layer: Layer) -> usize {
        self.layers.iter().position(|&known| known == layer).unwrap_or_else(|| {
            self.layers.push(layer);
            self.layers.len() - 1
        })
    }
}

/// The measure that judges an aim.
pub(super) fn criterion(aim: &Aim) -> (Measure, Sense) {
    match (aim.goal, aim.by) {
        (Goal::Even, Measured::Squares) => (Measure::SquaresAboutMean, Sense::Least),
        (Goal::Even, _) => (Measure::Spread, Sense::Least),
        (Goal::Near(target), Measured::Squares) => (Measure::SquaresFrom { target: target.ticks() }, Sense::Least),
        (Goal::Near(target), _) => (Measure::WorstFrom { target: target.ticks() }, Sense::Least),
        (Goal::Highest, Measured::Extreme) => (Measure::Least, Sense::Most),
        (Goal::Highest, _) => (Measure::Total, Sense::Most),
        (Goal::Lowest, Measured::Extreme) => (Measure::Greatest, Sense::Least),
        (Goal::Lowest, _) => (Measure::Total, Sense::Least),
    }
}

fn lay(frame: &Frame<'_>, relaxed: Relaxed, kept: &Kept, layer: Layer) -> Result<Table, TableError> {
    let shape = Shape { slots: frame.question.positions.len(), items: kept.parts.len() };
    let pair = |slot: Slot, item: Item| Pair { position: slot.index(), part: kept.parts[item.index()] };
    Table::from_fn(shape, |slot, item| layer.value(frame, relaxed, pair(slot, item)))
}
