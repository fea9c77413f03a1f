//! Banks: rows of cylinders that share a deck.

use crate::quantity::Amount;

/// How the same head casting sits on a bank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HeadSeat {
    /// Its first chamber is at the front.
    AsMeasured,
    /// It sits end for end: its last chamber is at the front.
    Turned,
}

/// A row of cylinders, front to back.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bank {
    /// The key in `[banks]`.
    pub name: String,
    /// Indices into the cylinder positions, front to back.
    pub cylinders: Vec<usize>,
    /// `head`, where stated.
    pub head: Option<HeadSeat>,
    /// `straight = true`: the deck may be taken as a straight line where a cylinder was not read.
    pub straight: bool,
    /// `form`: standard deviation of the deck about its line, where stated.
    pub form: Option<Amount>,
    /// Line in the job file.
    pub line: u32,
}
