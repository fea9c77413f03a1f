//! The fits on small jobs. Published and independent figures stand in the tests member.

mod build;
mod declared;
mod lacks;
mod pours;
mod rods;
mod shared;
mod sign;
mod turned;
