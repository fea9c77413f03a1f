//! Exit statuses.

use std::process::ExitCode;

/// How a run ended. Documented in `--help` and in `docs/output.md`; the numbers do not change.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Exit {
    /// Status 0: done.
    Done,
    /// Status 1: no plan, or a limit is not held, or something is missing for the match asked for.
    NotHeld,
    /// Status 2: the input or the call is wrong or contradicts itself.
    Wrong,
}

impl Exit {
    /// The number the shell sees.
    ///
    /// ```
    /// use pairwright::Exit;
    /// assert_eq!(Exit::NotHeld.status(), 1);
    /// ```
    #[must_use]
    pub const fn status(self) -> u8 {
        match self {
            Self::Done => 0,
            Self::NotHeld => 1,
            Self::Wrong => 2,
        }
    }
}

impl From<Exit> for ExitCode {
    fn from(exit: Exit) -> Self {
        Self::from(exit.status())
    }
}
