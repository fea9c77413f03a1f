//! The cautions in words: short, plain, and deferring to whoever knows the engine.

use pairwright_engine::outcome::Caution;

/// The sentence of a caution.
pub(crate) const fn sentence(caution: Caution) -> &'static str {
    match caution {
        Caution::FromReadings => "Everything here is predicted from the readings given; it is no better than they are.",
        Caution::MockUp => {
            "Check piston-to-head and piston-to-valve clearance on the assembled mock-up, and turn the engine over by \
             hand before it ever runs."
        }
        Caution::TryAgain => {
            "Check what is predicted here with the parts in their places, and turn the engine over by hand before it ever \
             runs."
        }
        Caution::FlatClearance => {
            "Piston-to-head clearance here is between flat faces only: domes and valve pockets are not covered."
        }
        Caution::Domes => {
            "A negative dish is a dome: check how near it comes to the chamber with clay on the assembled mock-up."
        }
        Caution::GasketEdge => {
            "A piston may stand above the deck where the gasket's opening is less than 1 mm wider than the bore \
             (common practice, no source): see on the mock-up that it stays clear of the gasket's edge."
        }
        Caution::CarriedOver => {
            "What is left of a measured clearance is carried over from its reading, not measured: check it again on the \
             assembled mock-up, with clay or a light checking spring, turning the engine over by hand."
        }
        Caution::UnknownHead => {
            "Some clearances do not say with which head they were read (`head` in the ledger): where another head is \
             planned they have to be measured again."
        }
        Caution::MoreLift => {
            "Where a valve lifts further, check its way to the piston, the springs short of binding and the retainers \
             clear of the guides on the assembled mock-up."
        }
        Caution::RunningClearance => {
            "A limit must already contain rod stretch, piston rock and the growth of hot parts: none of them is added."
        }
        Caution::OneTemperature => "Measure parts and block at one and the same temperature.",
        Caution::Balance => "Where the mass of moving parts changes, the crank has to be balanced again.",
        Caution::HonedBores => "A piston whose bore was honed to it stays with that bore.",
        Caution::MatedParts => "Parts that are mated to each other (`with`) stay together.",
        Caution::FiguresFirst => {
            "The manufacturer's figures, the class rules and local codes go before anything printed here; leave \
             machining and running tests to qualified people."
        }
    }
}
