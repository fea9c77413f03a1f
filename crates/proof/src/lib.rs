//! The independent checker of an assignment.
//!
//! An assignment gives every **slot** one **item**, no item twice. What a pair is worth stands in a
//! [`Table`] of whole numbers (**ticks**: the caller decides what a tick is). This crate holds the plain data
//! that state such a problem (tables, criteria, windows, changes) and re-derives every rule and every claimed
//! value of an answer from them ([`check_choice`]). It also follows a [`Proof`] that no choice is better
//! ([`check_proof`]) or that
//! there is none ([`check_impossible`], [`check_shortage`]), also under side conditions ([`check_sided_proof`]), with two
//! kinds of items a slot ([`verify_joint`], [`check_joint_impossible`]) and with several items of one kind ([`check_several_proof`]). It solves nothing
//! and shares no code with the crate that does.
//!
//! ```
//! use pairwright_proof::{
//!     Changes, Choice, Criterion, Fault, Item, Measure, Sense, Shape, Slot, Statement, Table, check_choice,
//! };
//!
//! // Two slots, three items; slot 0 cannot take item 2.
//! let table = Table::from_cells(
//!     Shape { slots: 2, items: 3 },
//!     &[Some(7), Some(4), None, Some(5), Some(1), Some(9)],
//! )?;
//! let criteria = [Criterion { table: &table, measure: Measure::Spread, sense: Sense::Least, slack: 0 }];
//! let statement = Statement { criteria: &criteria, windows: &[], changes: &Changes::default() };
//!
//! let choice = Choice::new(vec![Item::new(1), Item::new(0)]);
//! assert_eq!(check_choice(&statement, &choice, &[1]), Ok(()));
//!
//! let forbidden = Choice::new(vec![Item::new(2), Item::new(0)]);
//! assert_eq!(
//!     check_choice(&statement, &forbidden, &[1]),
//!     Err(Fault::Forbidden { slot: Slot::new(0), item: Item::new(2) }),
//! );
//! # Ok::<(), pairwright_proof::TableError>(())
//! ```

mod additive;
mod bundles;
mod check;
mod choice;
mod index;
mod joint;
mod measure;
mod proof;
mod several;
mod shortage;
mod sided;
mod sides;
mod statement;
mod table;
mod text;
mod verify;

pub use additive::{Additive, AdditiveFault, check_additive};
pub use bundles::{
    SeveralLimit, SeveralProof, SeveralProofFault, SeveralRule, SeveralStep, check_bundles_within,
    check_several_impossible, check_several_impossible_within, check_several_proof, check_several_proof_within,
    parse_several_proof, write_several_proof,
};
pub use check::{Fault, check_choice, check_sided};
pub use choice::Choice;
pub use index::{Item, Slot};
pub use joint::{
    Beside, Couple, Filled, JointChoice, JointFault, JointProof, JointProofFault, JointStatement, JointStatementError,
    Outer, OuterProof, Scale, Segment, Side, Step, check_joint, check_joint_impossible, evaluate_joint,
    parse_joint_proof, verify_joint, verify_joint_using, write_joint_proof,
};
pub use measure::{Measure, evaluate};
pub use proof::{Level, Narrow, Prices, Proof, Refutation, SumRun, WindowRun};
pub use several::{Bundles, Pile, Roles, SeveralFault, Worth, check_bundles};
pub use shortage::{Cause, Shortage, check_shortage};
pub use sided::{
    Held, SidedLevel, SidedProof, SidedStep, check_sided_impossible, check_sided_proof, parse_sided_proof,
    write_sided_proof,
};
pub use sides::{Along, Neighbour, SideFault, Sides, TotalLimit};
pub use statement::{Changes, Criterion, Sense, Statement, Window};
pub use table::{Shape, Table, TableError};
pub use text::{ParseError, parse_proof, write_proof};
pub use verify::{Checked, Flaw, check_impossible, check_proof};
