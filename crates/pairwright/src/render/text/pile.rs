//! What more parts would do, in words.

use pairwright_engine::job::Next;
use pairwright_engine::pile::{Gained, Judged, Learned, Model, Need, Needs, Normality, Outlook, Pile};
use pairwright_engine::plan::Interval;

use super::english::{count, plural, sentence};
use super::grid::Column;
use super::page::Page;
use super::placements::set;
use super::shopping::money;
use super::words::{free_text, label};
use crate::render::Style;
use crate::render::pile::{PileView, total_name, total_text};

/// The outlook of a pile as a page.
pub fn pile_text(view: PileView<'_>, outlook: &Outlook, needs: Option<&Needs>, style: &Style) -> String {
    let values = outlook.steps.iter().filter_map(|step| step.value).map(|value| value.value);
    let wanted = needs.filter(|_| view.before.is_empty()).map(|needs| needs.wanted);
    let view = view.telling(outlook.now.into_iter().chain(values).chain(wanted));
    let mut page = Page::new(*style);
    page.title(&free_text(&view.job.title));
    page.name(&free_text(view.name()));
    let kinds = plural(&label(view.kind));
    let now = outlook.now.map_or_else(|| nothing_now(view), |now| standing(view, outlook, now));
    page.plain(&format!(
        "{} to choose from for {}; {now}.",
        sentence(&parts(view, outlook)),
        count(outlook.positions, view.position_kind())
    ));
    let shares = |of: &dyn Fn(&pairwright_engine::pile::Step) -> String| outlook.steps.iter().map(of).collect();
    let key = Column::new("more", shares(&|step| step.more.to_string()));
    for (at, &next) in view.before.iter().enumerate() {
        let place = if at == 0 { "first" } else { "next" };
        page.heading(&format!("More {kinds}: {}, which counts {place}", total_name(next)));
        set(&mut page, &key, &[total_columns(outlook, at, next)]);
    }
    page.heading(&match view.before {
        [] => format!("More {kinds}"),
        _ => format!("More {kinds}: {}, of such plans", view.sought()),
    });
    let about = vec![
        Column::new("to expect", shares(&|step| expected(view, step.value))),
        Column::new("95 % of futures", shares(&|step| range(view, step.value))),
        Column::new("gain", shares(&|step| expected(view, step.gain))),
        Column::new("95 % of gains", shares(&|step| range(view, step.gain))),
        Column::new("gains at all", shares(&|step| percent(step.helps))),
    ];
    set(&mut page, &key, &[about]);
    if outlook.steps.iter().any(|step| step.fillable < 1.0) {
        let open = outlook.steps.iter().filter(|step| step.fillable < 1.0);
        for step in open {
            page.say(&format!("With {} more all are filled in {} of futures.", step.more, percent(step.fillable)));
        }
    }
    for step in outlook.steps.iter().filter(|step| step.unproven > 0.0) {
        page.say(&format!(
            "With {} more the best plan was not proven in {} of futures: what was found there counts, and more may be gained.",
            step.more,
            percent(step.unproven)
        ));
    }
    if outlook.now.is_none() {
        page.say("There is no plan now to compare with, hence no gain; what is to be expected is told of the futures in which all are filled.");
    }
    if let Some(needs) = needs {
        wish(&mut page, view, needs);
    }
    page.heading("What this rests on");
    let fine = Pile::<Learned>::FINE;
    let quarter = match needs {
        Some(needs) if needs.at_most.more > fine => format!(" (a quarter of them beyond {fine} more, to reach it)"),
        _ => String::new(),
    };
    page.say(&judged(view, outlook));
    page.say(&format!(
        "Further parts are taken to be like those measured: of the same make and wear. {} {}Gains are by the gauge: errors of measuring are in them, as they are in the stock, and the \
         true gain is smaller; one below the doubt that `match` states cannot be told from none, and is not worth buying parts for. {}Criteria after the aim do not count here. {} futures were drawn for every number of parts{quarter}, seed {}.",
        view.unit_in_words(),
        paid(view),
        stretched(outlook),
        view.futures.futures,
        view.futures.seed
    ));
    page.into_text()
}

/// Where there is nothing to compare with, or nothing at all.
const NO_FIGURE: &str = "–";

/// How many parts there are.
fn parts(view: PileView<'_>, outlook: &Outlook) -> String {
    let all = view.job.stocks.iter().find(|stock| stock.kind == view.kind).map_or(0, |stock| stock.parts.len());
    match view.stated {
        0 if outlook.parts < all => {
            format!("{} of {} (the others are taken or may go nowhere)", outlook.parts, count(all, view.kind))
        }
        0 => count(outlook.parts, view.kind),
        stated => format!(
            "{} and {} of stated sizes",
            count(outlook.parts - stated.min(outlook.parts), view.kind),
            count(stated, "piece")
        ),
    }
}

fn nothing_now(view: PileView<'_>) -> String {
    let paid = if view.spend().is_some() { " and what may be spent" } else { "" };
    format!("they cannot fill them all within the limits{paid}")
}

/// A caution where the tail of a distribution is asked for far beyond what the stock can tell.
fn stretched(outlook: &Outlook) -> &'static str {
    let most = outlook.steps.iter().map(|step| step.more).max().unwrap_or(0);
    if most > FAR * outlook.parts {
        "Numbers many times that of the parts there are rest on the far tail of the distribution, of which so few parts tell next to nothing. "
    } else {
        ""
    }
}

/// Times the parts there are.
const FAR: usize = 20;

/// What is best now.
fn standing(view: PileView<'_>, outlook: &Outlook, now: f64) -> String {
    let totals = view.before.iter().zip(&outlook.before);
    let totals = totals.map(|(&next, &total)| format!("{} is now {}", total_name(next), total_text(next, total)));
    totals.chain([format!("{} is now {}", view.sought(), view.size(now))]).collect::<Vec<_>>().join(", then ")
}

fn total_columns(outlook: &Outlook, at: usize, next: Next) -> Vec<Column> {
    let shares = |of: &dyn Fn(&Gained) -> String| {
        outlook.steps.iter().map(|step| step.before.get(at).map_or_else(String::new, of)).collect::<Vec<_>>()
    };
    let range =
        |interval: Interval| format!("{} to {}", total_text(next, interval.low), total_text(next, interval.high));
    vec![
        Column::new("to expect", shares(&|gained| total_text(next, gained.value.value))),
        Column::new("95 % of futures", shares(&|gained| range(gained.value))),
        Column::new(
            "less by",
            shares(&|gained| gained.gain.map_or_else(|| NO_FIGURE.to_owned(), |gain| total_text(next, gain.value))),
        ),
        Column::new("in 95 %", shares(&|gained| gained.gain.map_or_else(String::new, range))),
    ]
}

/// What further parts cost, where that counts.
fn paid(view: PileView<'_>) -> String {
    if view.before.is_empty() && view.spend().is_none() {
        return String::new();
    }
    let costs = match view.gathered.price {
        Some(price) => format!("A part found is taken to cost {} where the plan uses it (--price). ", money(price)),
        None => "A part found is taken to cost nothing, and is no piece to buy; --price says otherwise. ".to_owned(),
    };
    let given =
        "What counts before the aim is bettered first, so that the aim may come out worse than now: a gain below 0. ";
    if view.before.is_empty() { costs } else { costs + given }
}

fn wish(page: &mut Page, view: PileView<'_>, needs: &Needs) {
    page.heading(&format!("To reach {}", view.leading(needs.wanted)));
    let said = |need: &Need| match need {
        Need::None => "the parts there are do it".to_owned(),
        Need::More(more) => format!("{more} more"),
        Need::About(more) => format!("about {more} more"),
        Need::OutOfReach { most } => format!("not with {most} more, and more were not looked at"),
    };
    page.item(&format!("to be nearly sure of it (19 of 20 futures): {}", said(&needs.likely)));
    page.item(&format!("as likely as not (half of the futures): {}", said(&needs.as_likely_as_not)));
    page.item(&format!("on the average of all futures, unlucky ones included: {}", said(&needs.expected)));
}

fn judged(view: PileView<'_>, outlook: &Outlook) -> String {
    let test = |found: &Normality| {
        format!("Shapiro and Francia's W' {:.4} of {} values, p {:.3}", found.statistic, found.looked_at, found.p)
    };
    let why = match &outlook.judged {
        Judged::TooFewToTell => "There are too few parts to tell what their scatter looks like".to_owned(),
        Judged::Normal(found) => {
            format!("Nothing speaks clearly against a normal distribution ({}; below 0.010 it would)", test(found))
        }
        Judged::NotNormal { number, found } => {
            format!("The stock does not look normal in {} ({})", view.number(*number), test(found))
        }
        _ => "The stock was judged".to_owned(),
    };
    let model = match outlook.model {
        Model::Normal => {
            "further parts are drawn from a normal distribution whose mean and scatter are in doubt themselves"
        }
        Model::Smoothed => "further parts are drawn around those measured, each smoothed by a normal curve",
        _ => "further parts are drawn",
    };
    format!("{why}: {model}.")
}

fn expected(view: PileView<'_>, interval: Option<Interval>) -> String {
    interval.map_or_else(|| NO_FIGURE.to_owned(), |interval| view.figure(interval.value))
}

fn range(view: PileView<'_>, interval: Option<Interval>) -> String {
    interval
        .map_or_else(String::new, |interval| format!("{} to {}", view.figure(interval.low), view.figure(interval.high)))
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}
