//! What more parts would do, in words.

use pairwright_engine::pile::{Judged, Learned, Model, Need, Needs, Normality, Outlook, Pile};
use pairwright_engine::plan::Interval;

use super::english::{count, plural, sentence};
use super::grid::Column;
use super::page::Page;
use super::placements::set;
use super::words::{free_text, label};
use crate::render::Style;
use crate::render::pile::PileView;

/// The outlook of a pile as a page.
pub fn pile_text(view: PileView<'_>, outlook: &Outlook, needs: Option<&Needs>, style: &Style) -> String {
    let mut page = Page::new(*style);
    page.title(&free_text(&view.job.title));
    page.name(&free_text(view.name()));
    let kinds = plural(&label(view.kind));
    let now = outlook.now.map_or_else(
        || "they cannot fill them all within the limits".to_owned(),
        |now| format!("{} is now {}", view.sought(), view.size(now)),
    );
    page.plain(&format!(
        "{} to choose from for {}; {now}.",
        sentence(&count(outlook.parts, view.kind)),
        count(outlook.positions, view.position_kind())
    ));
    page.heading(&format!("More {kinds}"));
    let shares = |of: &dyn Fn(&pairwright_engine::pile::Step) -> String| outlook.steps.iter().map(of).collect();
    let key = Column::new("more", shares(&|step| step.more.to_string()));
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
    if let Some(needs) = needs {
        wish(&mut page, view, needs);
    }
    page.heading("What this rests on");
    let fine = Pile::<Learned>::FINE;
    let quarter = match needs {
        Some(needs) if needs.at_most.more > fine => format!(" (a quarter of them to reach it beyond {fine} more)"),
        _ => String::new(),
    };
    page.say(&judged(view, outlook));
    page.say(&format!(
        "Further parts are taken to be like those measured: of the same make and wear. Every figure is in {}. Gains are by the gauge: errors of measuring are in them, as they are in the stock, and the \
         true gain is smaller. Criteria after the aim do not count here. {} futures{quarter}, seed {}.",
        view.unit_in_words(),
        view.futures.futures,
        view.futures.seed
    ));
    page.into_text()
}

fn wish(page: &mut Page, view: PileView<'_>, needs: &Needs) {
    page.heading(&format!("To reach {}", view.size(needs.wanted)));
    let said = |need: &Need| match need {
        Need::None => "the parts there are do it".to_owned(),
        Need::More(more) => format!("{more} more"),
        Need::About(more) => format!("about {more} more"),
        Need::OutOfReach { most } => format!("not with {most} more, and more were not looked at"),
    };
    page.item(&format!("by expectation: {}", said(&needs.expected)));
    page.item(&format!("in half of the futures: {}", said(&needs.as_likely_as_not)));
    page.item(&format!("in 19 of 20 futures: {}", said(&needs.likely)));
}

fn judged(view: PileView<'_>, outlook: &Outlook) -> String {
    let test = |found: &Normality| {
        format!("Shapiro and Francia's W' {:.4} of {} values, p {:.3}", found.statistic, found.looked_at, found.p)
    };
    let why = match &outlook.judged {
        Judged::TooFewToTell => "There are too few parts to tell what their scatter looks like".to_owned(),
        Judged::Normal(found) => format!("The stock looks normal ({})", test(found)),
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
    interval.map_or_else(|| "none".to_owned(), |interval| view.figure(interval.value))
}

fn range(view: PileView<'_>, interval: Option<Interval>) -> String {
    interval
        .map_or_else(String::new, |interval| format!("{} to {}", view.figure(interval.low), view.figure(interval.high)))
}

fn percent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}
