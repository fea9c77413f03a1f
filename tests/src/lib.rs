//! Checks of Pairwright against things outside the project.
