//! Code compiled twice more: for the vector instructions that most machines of the last ten years have, and the wider ones of some.

use pulp::Arch;

/// Runs `work` in the widest vector instructions of this machine.
///
/// The results are the same on every machine: these are integers. Only what is inlined into `work` gains by it.
#[expect(clippy::inline_always, reason = "what is not inlined is not compiled for wide instructions")]
#[inline(always)]
pub(crate) fn widely<R>(work: impl FnOnce() -> R) -> R {
    Arch::new().dispatch(work)
}
