//! What a match says about money, and whether it can be asked of it.

use pairwright_engine::job::Buying;

use crate::diagnostic::{Code, Diagnostic};

use super::job_file::MatchDraft;
use super::load::Reading;
use super::resolve::Names;

/// `first` and `spend`; reports them in a match that places several kinds, which are chosen together by the aim, but not
/// where a position takes several parts of one kind.
pub(super) fn of(names: &Names<'_>, draft: &MatchDraft, reading: &mut Reading) -> Buying {
    let first = draft.first.first().map(|next| (next.span.clone(), "first"));
    let spend = draft.spend.as_ref().map(|spend| (spend.span.clone(), "spend"));
    let banks = draft.place.iter().any(|kind| super::kinds::on_banks(&kind.value));
    let several_kinds = draft.place.windows(2).any(|two| two[0].value != two[1].value);
    if several_kinds || banks {
        for (span, key) in [first, spend].into_iter().flatten() {
            let message = format!("`{key}` is not supported yet in a match of several kinds, or of heads and gaskets");
            let item = Diagnostic::wrong(Code::JobNotYet, message)
                .at(names.job.place(span), "")
                .help("take it out for now; `then = [\"price\"]` makes the price decide between equally good plans");
            reading.found.push(item);
        }
        return Buying::default();
    }
    Buying {
        first: draft.first.iter().map(|next| next.value).collect(),
        spend: draft.spend.as_ref().map(|spend| spend.value),
    }
}
