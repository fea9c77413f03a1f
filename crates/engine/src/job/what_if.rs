//! What-ifs: named changes to a job, to be planned beside it.

use super::{Aim, FitName, Next, Pin, Stock};
use crate::quantity::Amount;

/// One `[[what_if]]`.
#[derive(Clone, Debug)]
pub struct WhatIf {
    /// `name`.
    pub name: String,
    /// `with`: indices of the what-ifs that it stacks.
    pub with: Vec<usize>,
    /// Its own changes.
    pub changes: Vec<Change>,
    /// `price`: what the changes of its own cost.
    pub price: Option<Amount>,
    /// `hours`: how long they take.
    pub hours: Option<Amount>,
    /// Line in the job file.
    pub line: u32,
}

/// One change to a job. Amounts that are added are in ticks.
#[derive(Clone, Debug)]
pub enum Change {
    /// A part must stand in its place.
    Fix {
        /// Index of the match.
        matching: usize,
        /// The part and its place.
        pin: Pin,
    },
    /// What two banks have in the plan as it stands changes places.
    Swap {
        /// Index of the match.
        matching: usize,
        /// Index of the role in its `place`.
        role: usize,
        /// Indices of the banks.
        banks: [usize; 2],
    },
    /// A part is not there.
    Without {
        /// Index of the stock.
        stock: usize,
        /// Index of the part.
        part: usize,
    },
    /// A part that the stock keeps out of every place (`fits = none`) may go anywhere.
    Admit {
        /// Index of the stock.
        stock: usize,
        /// Index of the part.
        part: usize,
    },
    /// More parts of a kind.
    Add {
        /// Index of the stock.
        stock: usize,
        /// The parts, with the columns that the stock has.
        parts: Stock,
    },
    /// Metal off the deck of a bank, everywhere alike.
    CutDeck {
        /// Index of the bank.
        bank: usize,
        /// So much.
        by: i64,
    },
    /// Metal off the deck of a bank, so that no slope is left.
    SquareDeck {
        /// Index of the bank.
        bank: usize,
    },
    /// Metal off the crown of a piston.
    CutCrown {
        /// Index of the piston.
        piston: usize,
        /// So much.
        by: i64,
        /// What it does to the dish.
        dish: Dish,
    },
    /// A chamber holds more, or less.
    Chamber {
        /// Index of the head.
        head: usize,
        /// The chamber, counted from 0.
        chamber: usize,
        /// So much more.
        by: i64,
    },
    /// A crank of another stroke.
    Stroke(Amount),
    /// Rods of another length.
    RodLength(Amount),
    /// Another cam: the lift of every lobe.
    LobeLift(Amount),
    /// Another cam: the lift of the lobe of one position.
    LobeLiftAt {
        /// Index of the position among all that rockers go to.
        position: usize,
        /// The lift.
        lift: Amount,
    },
    /// Another bound of a limit.
    Bound {
        /// Index of the match.
        matching: usize,
        /// The fit.
        fit: FitName,
        /// Which bound.
        which: BoundOf,
        /// Its new value.
        to: Amount,
    },
    /// Whether the uncertainty counts in the limits of a fit.
    Guard {
        /// Index of the match.
        matching: usize,
        /// The fit.
        fit: FitName,
        /// Whether it does.
        guard: bool,
    },
    /// Another aim.
    Aim {
        /// Index of the match.
        matching: usize,
        /// The aim.
        aim: Aim,
    },
    /// Something else after the aim.
    Then {
        /// Index of the match.
        matching: usize,
        /// What decides after the aim.
        then: Vec<Next>,
    },
}

/// A bound of a limit.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BoundOf {
    /// The least value.
    Min,
    /// The greatest value.
    Max,
    /// The greatest spread.
    Spread,
    /// The greatest difference between neighbours.
    Neighbours,
}

/// The dish of a piston whose crown is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Dish {
    /// There is none, or none is known.
    Same,
    /// It holds less by so much, in ticks: its area times the cut.
    Less(i64),
    /// It was measured again, or will hold this.
    Now(Amount),
}

impl WhatIf {
    /// The indices of every what-if in the stack of the one at `index`, in the order of the job, itself among them; `with`
    /// says of each what-if which others it stacks. A cycle is gone through once.
    ///
    /// ```
    /// use pairwright_engine::job::WhatIf;
    /// let with: [&[usize]; 4] = [&[], &[], &[0], &[2, 0]];
    /// assert_eq!(WhatIf::stack(3, |at| with[at]), [0, 2, 3]);
    /// ```
    #[must_use]
    pub fn stack<'w>(index: usize, with: impl Fn(usize) -> &'w [usize]) -> Vec<usize> {
        let (mut stack, mut open) = (vec![index], vec![index]);
        while let Some(next) = open.pop() {
            for &below in with(next) {
                if !stack.contains(&below) {
                    stack.push(below);
                    open.push(below);
                }
            }
        }
        stack.sort_unstable();
        stack
    }
}
