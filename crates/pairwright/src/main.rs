//! The `pairwright` command.

fn main() {}
