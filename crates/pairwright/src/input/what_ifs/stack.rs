//! What-ifs that stack others: names, cycles, and changes that contradict each other.

use pairwright_engine::job::{Matching, WhatIf};
use pairwright_engine::what_if::{Kinds, clash, repeats};

use super::Made;
use crate::diagnostic::{Code, Diagnostic};
use crate::input::job_file::WhatIfDraft;
use crate::input::load::Reading;
use crate::input::nearest::remedy;
use crate::input::resolve::Names;

/// For every what-if the indices of those it stacks; reports names that are there twice or not at all, and cycles.
pub(super) fn resolve(names: &Names<'_>, reading: &mut Reading) -> Vec<Vec<usize>> {
    let drafts = &names.draft.what_ifs;
    let find = |name: &str| drafts.iter().position(|draft| draft.name.value == name);
    let known: Vec<&str> = drafts.iter().map(|draft| draft.name.value.as_str()).collect();
    let mut with = Vec::with_capacity(drafts.len());
    for (index, draft) in drafts.iter().enumerate() {
        if let Some(first) = find(&draft.name.value).filter(|first| *first != index) {
            let item = Diagnostic::wrong(Code::WhatIfName, format!("two what-ifs are called `{}`", draft.name.value))
                .at(names.place(&draft.name), "again here")
                .at(names.place(&drafts[first].name), "first here")
                .help("give each what-if a name of its own");
            reading.found.push(item);
        }
        let mut below = Vec::with_capacity(draft.with.len());
        for name in &draft.with {
            if let Some(found) = find(&name.value) {
                if below.contains(&found) {
                    let message = format!("`{}` is stacked twice", name.value);
                    let item = Diagnostic::wrong(Code::WhatIfClash, message)
                        .at(names.place(name), "again here")
                        .help("take one of the two out of `with`");
                    reading.found.push(item);
                }
                below.push(found);
                continue;
            }
            let item = Diagnostic::wrong(Code::WhatIfUnknown, format!("there is no what-if `{}`", name.value))
                .at(names.place(name), "")
                .help(remedy(&name.value, &known, "the what-ifs are"));
            reading.found.push(item);
        }
        with.push(below);
    }
    for (index, draft) in drafts.iter().enumerate() {
        let back = draft.with.iter().zip(&with[index]).find(|(_, below)| reaches(&with, **below, index));
        let Some((name, below)) = back else { continue };
        // Each cycle is told once, at the first of its what-ifs.
        if (0..index).any(|earlier| reaches(&with, *below, earlier) && reaches(&with, earlier, index)) {
            continue;
        }
        let message = if *below == index {
            format!("`{}` stacks itself", draft.name.value)
        } else {
            format!("`{}` stacks `{}`, which stacks it in turn", draft.name.value, name.value)
        };
        let item = Diagnostic::wrong(Code::WhatIfCycle, message)
            .at(names.place(name), "")
            .help("take one of the two out of `with`");
        reading.found.push(item);
    }
    with
}

/// Whether the what-if at `from` is the one at `to`, or stacks it.
fn reaches(with: &[Vec<usize>], from: usize, to: usize) -> bool {
    WhatIf::stack(from, |at| &with[at]).contains(&to)
}

/// Reports the first two changes of every stack that contradict each other; a stack is told only where no smaller one
/// has the same contradiction.
pub(super) fn check(
    names: &Names<'_>,
    matches: Vec<&Matching>,
    with: &[Vec<usize>],
    made: &[Vec<Made>],
    reading: &mut Reading,
) {
    let kinds = Kinds { matches, stocks: names.stocks.iter().map(|read| read.stock.kind.as_str()).collect() };
    for (draft, made) in names.draft.what_ifs.iter().zip(made) {
        check_repeats(names, draft, made, reading);
    }
    let mut told: Vec<(usize, usize)> = Vec::new();
    let stack = |index| (index, WhatIf::stack(index, |at| &with[at]));
    let mut stacks: Vec<(usize, Vec<usize>)> = (0..made.len()).map(stack).collect();
    stacks.sort_by_key(|(_, stack)| stack.len());
    for (top, stack) in stacks {
        let all: Vec<(usize, usize)> =
            stack.iter().flat_map(|&at| (0..made[at].len()).map(move |change| (at, change))).collect();
        let change = |(at, change): (usize, usize)| &made[at][change];
        let pairs = (0..all.len()).flat_map(|one| (one + 1..all.len()).map(move |other| (one, other)));
        let mut clashing = pairs.filter(|&(one, other)| clash(&kinds, &change(all[one]).0, &change(all[other]).0));
        let Some((one, other)) = clashing.next() else { continue };
        let homes = (all[one].0.min(all[other].0), all[one].0.max(all[other].0));
        if told.contains(&homes) {
            continue;
        }
        told.push(homes);
        let (first, second) = (change(all[one]).1.clone(), change(all[other]).1.clone());
        let (first, second) = if first.start <= second.start { (first, second) } else { (second, first) };
        let top = &names.draft.what_ifs[top];
        let item = Diagnostic::wrong(
            Code::WhatIfClash,
            format!("what-if `{}` makes two changes that contradict each other", top.name.value),
        )
        .at(names.job.place(second), "the second")
        .at(names.job.place(first), "the first")
        .help("take one of them out, or stack only one of the two what-ifs");
        reading.found.push(item);
    }
}

/// Reports the first change that a what-if asks for twice.
fn check_repeats(names: &Names<'_>, draft: &WhatIfDraft, made: &[Made], reading: &mut Reading) {
    let again = |at: usize| made[..at].iter().find(|first| repeats(&first.0, &made[at].0));
    let Some((first, second)) = (1..made.len()).find_map(|at| Some((again(at)?, &made[at]))) else { return };
    let message = format!("what-if `{}` asks for the same change twice", draft.name.value);
    let item = Diagnostic::wrong(Code::WhatIfClash, message)
        .at(names.job.place(second.1.clone()), "again here")
        .at(names.job.place(first.1.clone()), "first here")
        .help("take one of the two out, or correct the name");
    reading.found.push(item);
}
