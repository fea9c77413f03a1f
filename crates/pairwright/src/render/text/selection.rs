//! How the parts came out of their pile.

use pairwright_engine::explain::{Alternative, Barred, Because, Contest, Edge, Explanation, Price};
use pairwright_engine::job::FitName;
use pairwright_engine::plan::LimitKind;

use super::english::{self, sentence};
use super::figure;
use super::grid::Column;
use super::limits::named;
use super::page::Page;
use super::placements::set;
use super::words::{Words, label};

/// Writes what was chosen from a pile, and against what.
pub(super) fn selection(page: &mut Page, words: Words<'_>, explanation: &Explanation) {
    let Some(selection) = &explanation.selection else { return };
    page.heading("How the pile was chosen from");
    let pile = english::count(selection.of, &words.kind());
    page.say(&format!("Of {pile} that may be used {} are placed.", selection.placed));
    if let Some(edge) = &selection.edge {
        page.say(&(self::edge(words, edge) + &first_that_costs(words, edge, explanation)));
    }
    if !selection.contests.is_empty() {
        contests(page, words, &selection.contests);
        page.gap();
        reasons(page, words, &selection.contests);
        doubted(page, words, &selection.contests);
    }
    if !selection.too_good.is_empty() {
        let (verb, them) = if selection.too_good.len() == 1 { ("goes", "it") } else { ("go", "they") };
        page.say(&format!(
            "{} {verb} beyond the limit on {} wherever {them} might go.",
            sentence(&words.parts(&selection.too_good)),
            words.phrase(words.aim_fit())
        ));
    }
}

fn edge(words: Words<'_>, edge: &Edge) -> String {
    let (last, first) = (words.parts(&edge.last_in), words.parts(&edge.first_out));
    let price = words.price(&Price { below_doubt: edge.below_doubt, ..edge.price });
    let them = if edge.first_out.len() == 1 { "it" } else { "them" };
    let doubt = edge.doubt.filter(|_| edge.price.aim != 0).map_or_else(String::new, |doubt| {
        format!(" The difference of the totals is in doubt by {}.", words.difference(figure::whole(doubt)))
    });
    format!("Last in: {last}. First out: {first}. The best plan with {them} instead: {price}.{doubt}")
}

/// Where the first one out is as good as the last one in: the first that is not.
fn first_that_costs(words: Words<'_>, edge: &Edge, explanation: &Explanation) -> String {
    let costs = |price: &Price| price.aim != 0 || price.spread != 0;
    if costs(&edge.price) {
        return String::new();
    }
    let priced = explanation.forced_in.iter().find_map(|forced| match &forced.plan {
        Alternative::Found { price, .. } if costs(price) => Some((forced.part, price)),
        _ => None,
    });
    priced.map_or_else(String::new, |(part, price)| {
        format!(" The first that costs anything: {}, {}.", words.part(part), words.price(price))
    })
}

fn contests(page: &mut Page, words: Words<'_>, contests: &[Contest]) {
    let each = |cell: &dyn Fn(&Contest) -> Option<String>| {
        contests.iter().map(|contest| cell(contest).unwrap_or_default()).collect::<Vec<_>>()
    };
    let key = Column::new(label(words.view.position_kind()), each(&|one| Some(words.position_id(one.position))));
    let mut kept_out = "";
    let mut columns = vec![
        Column::new(words.kind(), each(&|one| Some(words.part_id(one.part)))),
        Column::new(
            "best left out",
            each(&|one| Some(one.next.map_or("none".to_owned(), |next| words.part_id(next.part)))),
        ),
        Column::new("behind by", each(&|one| one.next.map(|next| words.price_cell(next.gain)))),
    ];
    if contests.iter().any(|one| one.barred.is_some()) {
        let count = |one: &Contest| Some(one.barred.map_or("none".to_owned(), |barred| barred.count.to_string()));
        let misses = |one: &Contest| {
            one.barred.map(|barred| figure::difference(barred.misses, words.view.unit_of(barred.fit), words.decimals))
        };
        kept_out = " Kept out: how many of the pile would be better there and break a limit, and by how much the nearest to \
                    what stands there does so, its guard band counted.";
        columns.push(Column::new("better, kept out", each(&count)));
        columns.push(Column::new("the nearest by", each(&misses)));
    }
    set(page, &key, &[columns]);
    page.gap();
    let (kind, position) = (words.kind(), words.view.position_kind());
    page.plain(&format!(
        "Best left out: the best {kind} left out that may go to that {position}, and how far its {} there stays behind, all \
         else being the same.{kept_out}",
        words.phrase(words.aim_fit())
    ));
}

/// Positions at a limit, with what it keeps out.
type Stopped = Vec<(usize, Barred)>;

/// Says position by position why no better part stands there.
fn reasons(page: &mut Page, words: Words<'_>, contests: &[Contest]) {
    for (fit, kind, stopped) in at_limits(contests) {
        page.item(&at_the_limit(words, fit, kind, &stopped));
    }
    let of = |wanted: fn(Because) -> bool| -> Vec<usize> {
        contests.iter().filter(|one| wanted(one.because)).map(|one| one.position).collect()
    };
    let kind = words.kind();
    let best = of(|because| because == Because::BestOfPile);
    if !best.is_empty() {
        let who = sentence(&words.positions(&best));
        page.item(&format!("{who}: no {kind} of the pile would be better there."));
    }
    let elsewhere = of(|because| matches!(because, Because::Elsewhere(_)));
    if !elsewhere.is_empty() {
        let who = sentence(&words.positions(&elsewhere));
        page.item(&format!("{who}: a {kind} that would be better there does as much or more where it stands."));
    }
    let outranked = of(|because| matches!(because, Because::Outranked(_)));
    if !outranked.is_empty() {
        let who = sentence(&words.positions(&outranked));
        page.item(&format!("{who}: a {kind} that would be better there stays out for what else the match asks."));
    }
}

/// The positions at a limit, limit by limit.
fn at_limits(contests: &[Contest]) -> Vec<(FitName, LimitKind, Stopped)> {
    let mut all: Vec<(FitName, LimitKind, Stopped)> = Vec::new();
    let at_limit = |one: &&Contest| one.because == Because::AtTheLimit;
    for (position, barred) in contests.iter().filter(at_limit).filter_map(|one| Some((one.position, one.barred?))) {
        match all.iter_mut().find(|(fit, kind, _)| (*fit, *kind) == (barred.fit, barred.kind)) {
            Some((_, _, stopped)) => stopped.push((position, barred)),
            None => all.push((barred.fit, barred.kind, vec![(position, barred)])),
        }
    }
    all
}

/// `Valves 1i and 2i are at the limit "…": …`.
fn at_the_limit(words: Words<'_>, fit: FitName, kind: LimitKind, stopped: &[(usize, Barred)]) -> String {
    let positions: Vec<usize> = stopped.iter().map(|(position, _)| *position).collect();
    let most = stopped.iter().map(|(_, barred)| figure::whole(barred.spare)).max().unwrap_or(0);
    let (verb, there) = if positions.len() == 1 { ("is", "stands there") } else { ("are", "stands at each") };
    format!(
        "{} {verb} as near to {} as the pile allows: every better {} breaks it there. What {there} has {} or less left to \
         it, guard band taken off.",
        sentence(&words.positions(&positions)),
        named(words, fit, kind),
        words.kind(),
        figure::difference(most, words.view.unit_of(fit), words.decimals)
    )
}

/// Says which of the gains position by position are smaller than their doubt.
fn doubted(page: &mut Page, words: Words<'_>, contests: &[Contest]) {
    let gains = |one: &&Contest| one.next.is_some_and(|next| next.gain != 0);
    let below = |one: &&Contest| one.next.is_some_and(|next| next.below_doubt);
    let all = contests.iter().filter(gains).count();
    let doubted: Vec<usize> = contests.iter().filter(gains).filter(below).map(|one| one.position).collect();
    if doubted.is_empty() {
        return;
    }
    let which =
        if doubted.len() == all { "everywhere".to_owned() } else { format!("at {}", words.positions(&doubted)) };
    page.say(&sentence(&format!(
        "{which} the best left out is behind by less than the {} can tell from nothing.",
        words.measured()
    )));
}
