//! What a match says about money.

use pairwright_engine::job::Buying;

use super::job_file::MatchDraft;

/// `first` and `spend`.
pub(super) fn of(draft: &MatchDraft) -> Buying {
    Buying {
        first: draft.first.iter().map(|next| next.value).collect(),
        spend: draft.spend.as_ref().map(|spend| spend.value),
    }
}
