//! Joint choices from outside: against enumeration, from bad starts, under small budgets.

mod against_all;
mod all;
mod bounds;
mod none;
mod proofs;
