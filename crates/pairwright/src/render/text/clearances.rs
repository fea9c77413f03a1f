//! What the plans leave of the clearances of the ledger, and what stops the engine first.

use pairwright_engine::clearance::{Carried, LedgerReport, Lever, Room, State, Unheld};
use pairwright_engine::job::{CYLINDER, Clearance, FitName, Job, VALVE};
use pairwright_engine::quantity::exact_text;

use super::english::{GLUE, count, sentence};
use super::figure;
use super::grid::Column;
use super::page::{Page, Tone};
use super::placements::{set, set_packed};
use super::words::{free_text, label};
use crate::render::Style;

/// A job with its ledger.
#[derive(Clone, Copy)]
struct Book<'a> {
    job: &'a Job,
    report: &'a LedgerReport,
}

/// An entry with what became of it.
type Line<'a> = (&'a Clearance, &'a Carried);

/// Writes what is left of every entry, which of them are not held, and the first stop of each change.
pub(super) fn clearances(page: &mut Page, job: &Job, report: &LedgerReport) {
    let book = Book { job, report };
    if report.entries.is_empty() {
        return;
    }
    page.heading("Clearances");
    page.say(
        "What the plan leaves of each clearance that was measured on the mock-up, carried over from the parts it was \
         read with to those that are planned.",
    );
    let key = Column::new("clearance", book.cells(|(entry, _)| name(entry)));
    let mut groups = vec![book.left(), book.moves()];
    groups.retain(|group| !group.is_empty());
    set_packed(page, &key, &groups);
    page.gap();
    page.say(&notes(book));
    for line in book.lines() {
        if let Some((tone, word, what)) = not_held(book, line) {
            page.toned_item(tone, word, &format!("{}{what}", name(line.0)));
        }
    }
    stops(page, book);
}

/// How far each entry would let more lift, less gasket and higher pistons go, as a page of its own.
///
/// Empty where no entry has a plan. A what-if has a job and a ledger of its own.
pub fn headroom_text(job: &Job, report: &LedgerReport, style: &Style) -> String {
    if report.entries.is_empty() {
        return String::new();
    }
    let (book, mut page) = (Book { job, report }, Page::new(*style));
    page.heading("Headroom");
    page.say(
        "How far each change may go by itself, all else as planned, before what is left of the clearance, less its guard \
         band, is the least that may be left.",
    );
    let key = Column::new("clearance", book.cells(|(entry, _)| name(entry)));
    let column = |lever: Lever, head: &str| {
        let cell = |(_, carried): Line<'_>| carried.headroom.map_or_else(String::new, |room| far(book, room.of(lever)));
        Column::new(head, book.cells(cell))
    };
    let good_for = |(_, carried): Line<'_>| carried.good_for.map_or_else(String::new, |lift| book.size(lift));
    let mut columns = vec![
        column(Lever::Lift, "more lift"),
        Column::new("good for a lift of", book.cells(good_for)),
        column(Lever::Gasket, "less gasket"),
        column(Lever::Piston, "higher piston"),
    ];
    columns.retain(|column| column.cells.iter().any(|cell| !cell.is_empty()));
    set(&mut page, &key, &[columns]);
    page.gap();
    page.say(&format!("{}.", sentence(&format!("lengths in {}", job.units.plural()))));
    stops(&mut page, book);
    page.into_text()
}

/// `17 measured clearances are not held, and 2 have to be measured again: see Clearances.`, under the answer; nothing where all
/// are held.
pub(super) fn open_clearances(page: &mut Page, report: &LedgerReport) {
    let count_of = |is: fn(State) -> bool| report.entries.iter().filter(|carried| is(carried.state)).count();
    let short = count_of(|state| matches!(state, State::Broken | State::Nominal));
    let again = count_of(|state| matches!(state, State::MeasureAgain(_)));
    let verb = |number: usize, one: &'static str, many: &'static str| if number == 1 { one } else { many };
    let short_of = || format!("{} {} not held", count(short, "measured clearance"), verb(short, "is", "are"));
    let said = match (short, again) {
        (0, 0) => return,
        (_, 0) => short_of(),
        (0, _) => {
            format!("{} {} to be measured again", count(again, "measured clearance"), verb(again, "has", "have"))
        }
        (_, _) => format!("{}, and {again} {} to be measured again", short_of(), verb(again, "has", "have")),
    };
    page.plain(&format!("{}: see Clearances before you build.", sentence(&said)));
}

impl<'a> Book<'a> {
    fn lines(self) -> impl Iterator<Item = Line<'a>> {
        let ledger = &self.job.ledger;
        self.report.entries.iter().filter_map(move |carried| Some((ledger.get(carried.id)?, carried)))
    }

    fn cells(self, cell: impl Fn(Line<'a>) -> String) -> Vec<String> {
        self.lines().map(cell).collect()
    }

    fn size(self, ticks: i64) -> String {
        figure::size(ticks, self.job.units, self.job.units.usual_decimals())
    }

    fn with_unit(self, ticks: i64) -> String {
        figure::difference(ticks, self.job.units, self.job.units.usual_decimals())
    }

    /// What was read, what is left of it, and what has to be left.
    fn left(self) -> Vec<Column> {
        let unit = self.job.units;
        let value = |ticks| figure::value(FitName::PistonToHead, ticks, unit);
        let left = |(_, carried): Line<'_>| {
            carried.left.map_or_else(|| format!("measure{GLUE}again"), |left| value(left.value))
        };
        let interval = |(_, carried): Line<'_>| {
            let interval = carried.left.map(|left| figure::interval(FitName::PistonToHead, left.low, left.high, unit));
            interval.unwrap_or_default()
        };
        let room = |(_, carried): Line<'_>| match carried.left {
            Some(_) if carried.room() < 0 => format!("{}{GLUE}short", self.size(carried.room())),
            Some(_) => self.size(carried.room()),
            None => String::new(),
        };
        let typed =
            |(entry, _): Line<'_>| exact_text(entry.minimum.ticks(), entry.minimum.unit(), entry.minimum.decimals());
        vec![
            Column::new("read", self.cells(|(entry, _)| value(entry.reading.ticks()))),
            Column::new("left", self.cells(left)),
            Column::new(format!("95{GLUE}% interval"), self.cells(interval)),
            Column::new(format!("at{GLUE}least"), self.cells(typed)),
            Column::new(format!("to{GLUE}spare"), self.cells(room)),
        ]
    }

    /// What has moved since it was read; columns in which nothing has are left out.
    fn moves(self) -> Vec<Column> {
        let moved = |ticks: i64, more: &str, less: &str| match ticks {
            0 => String::new(),
            _ => format!("{}{GLUE}{}", self.size(ticks), if ticks < 0 { less } else { more }),
        };
        let rise = |(entry, carried): Line<'_>| {
            if entry.moves.follows().deck { moved(carried.rise, "higher", "lower") } else { String::new() }
        };
        let thicker = |(entry, carried): Line<'_>| {
            if entry.moves.follows().gasket { moved(carried.thicker, "thicker", "thinner") } else { String::new() }
        };
        let mut columns = vec![
            Column::new("piston stands", self.cells(rise)),
            Column::new("gasket is", self.cells(thicker)),
            Column::new("valve lifts", self.cells(|(_, carried)| moved(carried.extra_lift, "more", "less"))),
        ];
        columns.retain(|column| column.cells.iter().any(|cell| !cell.is_empty()));
        columns
    }
}

fn name(entry: &Clearance) -> String {
    free_text(&entry.name)
}

fn notes(book: Book<'_>) -> String {
    let units = sentence(&format!("lengths in {}.", book.job.units.plural()));
    let open = book.lines().filter(|(_, carried)| carried.open).count();
    let open = match open {
        0 => String::new(),
        open => format!(
            " For {} something is decided by a match that has no plan yet, and counts as it was read.",
            count(open, "clearance")
        ),
    };
    format!(
        "{units} To spare: how far the value is inside what has to be left, guard band taken off. The true value lies in the \
         interval with 95{GLUE}% confidence.{open}"
    )
}

/// What there is to say of an entry that is not held.
fn not_held(book: Book<'_>, (entry, carried): Line<'_>) -> Option<(Tone, &'static str, String)> {
    let place = place(book.job, entry);
    Some(match carried.state {
        State::Held => return None,
        State::Nominal => (
            Tone::Look,
            "nominal only",
            format!("{place}; inside by {}, but not by its guard band.", book.with_unit(carried.margin())),
        ),
        State::Broken => (Tone::Bad, "broken", format!("{place}; beyond by {}.", book.with_unit(carried.margin()))),
        State::MeasureAgain(why) => (Tone::Look, "measure again", format!("{place}; {}.", again(why))),
    })
}

const fn again(why: Unheld) -> &'static str {
    match why {
        Unheld::Cam => "it was read with another cam, or at another timing",
        Unheld::Head => "it was read with another head than is planned there",
        Unheld::Changed => "what was changed since is none of what it can be carried over",
        Unheld::Unknown => "what is planned there is not known well enough to carry it over",
    }
}

/// ` (cylinder 3)`.
fn place(job: &Job, entry: &Clearance) -> String {
    let at = |kind: &str, index: Option<usize>| {
        let label_of = job.positions(kind)?.label(index?)?;
        Some(format!(" ({kind}{GLUE}{})", label(label_of)))
    };
    at(VALVE, entry.valve).or_else(|| at(CYLINDER, entry.cylinder)).unwrap_or_default()
}

fn stops(page: &mut Page, book: Book<'_>) {
    if book.report.stops.is_empty() {
        return;
    }
    page.say("What stops the engine first, each change by itself and nothing chosen anew for it:");
    for stop in &book.report.stops {
        let Some((entry, carried)) = book.lines().find(|(_, carried)| carried.id == stop.id) else { continue };
        let what = match stop.lever {
            Lever::Lift => "more lift",
            Lever::Gasket => "less gasket",
            Lever::Piston => "a higher piston",
        };
        let name = name(entry);
        let good_for = carried.good_for.filter(|_| stop.lever == Lever::Lift);
        let good_for =
            good_for.map_or_else(String::new, |lift| format!(", good for {} at the valve", book.with_unit(lift)));
        page.item(&if stop.at < 0 {
            format!("{what}: none; \"{name}\" is {} short as it stands.", book.with_unit(stop.at))
        } else {
            format!("{what}: up to {}, by \"{name}\"{good_for}.", book.with_unit(stop.at))
        });
    }
}

fn far(book: Book<'_>, room: Room) -> String {
    match room {
        Room::Upto(ticks) if ticks < 0 => format!("{}{GLUE}short", book.size(ticks)),
        Room::Upto(ticks) => book.size(ticks),
        Room::Free => "any".to_owned(),
    }
}
