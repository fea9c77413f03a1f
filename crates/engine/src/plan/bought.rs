//! What a plan asks to be bought.

use super::frame::Frame;
use super::question::Question;
use crate::job::Part;

/// Everything that a plan takes which has a price.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Shopping {
    /// A line for every type, or part, that is bought: in the order of the roles and of their files.
    pub lines: Vec<Bought>,
    /// What all of it costs, in ticks of money.
    pub total: i64,
}

/// One type, or part, that is bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bought {
    /// Index of its role in `place`; of several roles of one kind the first.
    pub role: usize,
    /// Index of the part, of a type that of its first piece.
    pub part: usize,
    /// How many pieces.
    pub count: u32,
    /// The price of one, in ticks of money.
    pub price: i64,
}

impl Bought {
    /// What all pieces of the line cost, in ticks of money.
    #[must_use]
    pub fn total(&self) -> i64 {
        self.price * i64::from(self.count)
    }
}

/// What the plan with `parts` buys; `None` where no part that could be placed has a price.
pub(crate) fn shopping(frame: &Frame<'_>, parts: &[usize]) -> Option<Shopping> {
    let question = frame.question;
    let roles = 0..question.matching.place.len();
    roles.clone().find(|&role| has_prices(question, role))?;
    let mut lines: Vec<Bought> = Vec::new();
    for role in roles.filter(|role| !question.beside().contains(role)) {
        let mut used: Vec<(usize, u32)> = Vec::new();
        if role == question.first_role() {
            used.extend(parts.iter().map(|&part| (part, 1)));
            if !question.beside().is_empty() {
                // They come from the same stock, whatever they are called in their places.
                used.extend(frame.seconds.iter().map(|&part| (part, 1)));
            }
        } else if question.second_role() == Some(role) {
            used.extend(frame.seconds.iter().map(|&part| (part, 1)));
        } else {
            let pieces = |served| u32::try_from(question.pieces_of(served)).unwrap_or(u32::MAX);
            used.extend(frame.setting.of_role(role).map(|served| (served.part, pieces(served))));
        }
        let stock = question.stocks[role];
        let mut of_role: Vec<Bought> = Vec::new();
        for (part, count) in used {
            let Some(price) = stock.columns.value("price", part) else { continue };
            let part = stock.first_alike(part);
            match of_role.iter_mut().find(|line| line.part == part) {
                Some(line) => line.count = line.count.saturating_add(count),
                None => of_role.push(Bought { role, part, count, price: price.ticks() }),
            }
        }
        of_role.sort_by_key(|line| line.part);
        lines.extend(of_role);
    }
    Some(Shopping { total: lines.iter().map(Bought::total).sum(), lines })
}

/// Whether any part of a role that may be used has a price.
fn has_prices(question: &Question<'_>, role: usize) -> bool {
    let stock = question.stocks[role];
    let usable = |part: &Part| part.fits.as_ref().is_none_or(|places| !places.is_empty());
    let priced = |part: usize| stock.columns.value("price", part).is_some();
    stock.columns.named("price").is_some()
        && (0..stock.parts.len()).any(|part| priced(part) && usable(&stock.parts[part]))
}
