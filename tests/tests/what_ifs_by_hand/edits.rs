//! Changes in two ways: as the program has them, and as somebody makes them in the files.

use pairwright_engine::job::{
    Aim, BoundOf, Change, Column, Columns, Dish, FitName, Goal, Job, LimitAsked, Measured, Next, Part, Pin, Stock,
};
use pairwright_engine::outcome::{Outcome, match_job};
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_engine::reduction::{Pair, Reduction};
use pairwright_tests::build::nm;
use pairwright_tests::whole_engine::{self, cc};

use crate::{Case, aim};

/// The gasket that the stock keeps out of every place.
pub(crate) const KEPT_OUT: usize = 2;

/// One change in two ways: as the program has it, and as an edit by hand. `None` where this engine has no such thing.
pub(crate) type Both = (Change, Box<dyn Fn(&mut Job)>);

pub(crate) fn machining(case: &Case) -> Vec<Option<Both>> {
    let measured = case.measured;
    let (bank, by) = case.deck;
    let cylinders: Vec<usize> =
        if bank == 0 { (0..measured.banks[0]).collect() } else { (measured.banks[0]..2).collect() };
    let deck: Both = (Change::CutDeck { bank, by }, Box::new(move |job| cut_deck(job, measured.read, &cylinders, by)));
    let (piston, off, less) = case.crown;
    // Half of the dishes are measured again after the cut.
    let dish = cc(3_000_000 + less);
    let again = less % 2 == 0;
    let crown: Both = (
        Change::CutCrown { piston, by: off, dish: if again { Dish::Now(dish) } else { Dish::Less(less) } },
        Box::new(move |job| {
            if measured.read {
                raise(job, |_, part| part == piston, -off);
            }
            edit(&mut job.stocks[0].columns, "compression_height", piston, -off);
            let by = job.stocks[0].columns.value("dish", piston).map_or(0, |was| dish.ticks() - was.ticks());
            edit(&mut job.stocks[0].columns, "dish", piston, if again { by } else { -less });
        }),
    );
    let (head, chamber, more) = case.chamber;
    let chamber: Both = (
        Change::Chamber { head, chamber, by: more },
        Box::new(move |job| {
            edit(&mut job.stocks[1].columns, &format!("chamber_{}", chamber + 1), head, more);
            let pours = job.chambers.iter_mut().flat_map(|pours| &mut pours.rows);
            for pour in pours.filter(|pour| (pour.head, pour.chamber) == (head, chamber)) {
                pour.value = pour.value.plus(more);
            }
        }),
    );
    let was = whole_engine::job(measured, &case.dice).engine;
    let (longer, rod) = (case.stroke, case.rod);
    let new = |was: Option<Amount>, by: i64| nm(was.expect("the engine has it").ticks() + by);
    let (stroke, length) = (new(was.stroke, longer), new(was.rod_length, rod));
    let stroke: Both = (
        Change::Stroke(stroke),
        Box::new(move |job| {
            job.engine.stroke = Some(stroke);
            if measured.read {
                raise(job, |_, _| true, longer / 2);
            }
        }),
    );
    let rods: Both = (
        Change::RodLength(length),
        Box::new(move |job| {
            job.engine.rod_length = Some(length);
            if measured.read {
                raise(job, |_, _| true, rod);
            }
        }),
    );
    // A crank with measured throws, and rods with measured lengths, are changed by their files.
    let throws = measured.by_cylinder;
    vec![
        Some(deck),
        Some(crown),
        Some(chamber),
        (!throws).then_some(stroke),
        (!measured.rods).then_some(rods),
        squared(case),
    ]
}

/// The same for what is asked for and what there is to choose from.
pub(crate) fn wishes(case: &Case) -> Vec<Option<Both>> {
    let (position, part) = case.fixed;
    let fix: Both = (
        Change::Fix { matching: 0, pin: Pin { position, part, role: 0 } },
        Box::new(move |job| job.matches[0].keep.push(Pin { position, part, role: 0 })),
    );
    let to = nm(300_000);
    let bound: Both = (
        Change::Bound { matching: 0, fit: FitName::PistonToHead, which: BoundOf::Min, to },
        Box::new(move |job| {
            let fit = FitName::PistonToHead;
            job.matches[0].limits = vec![LimitAsked {
                fit,
                min: Some(to),
                max: None,
                spread: None,
                neighbours: None,
                guard: true,
                line: 1,
            }];
        }),
    );
    let wanted = match case.aim {
        0 => aim(FitName::Deck),
        1 => Aim { by: Measured::Squares, ..aim(FitName::ClearanceVolume) },
        2 => Aim {
            goal: Goal::Near(Amount::new(9_500_000, Unit::One, 1)),
            by: Measured::Worst,
            ..aim(FitName::Compression)
        },
        _ => aim(FitName::PistonToHead),
    };
    let aim: Both = (Change::Aim { matching: 0, aim: wanted }, Box::new(move |job| job.matches[0].aim = wanted));
    let without = case.fixed.1 % 2;
    let lost: Both = (
        Change::Without { stock: 2, part: without },
        Box::new(move |job| job.stocks[2].parts[without].fits = Some(Vec::new())),
    );
    let more = another_gasket(case);
    let bought = more.clone();
    let added: Both = (
        Change::Add { stock: 2, parts: more },
        Box::new(move |job| {
            let all = job.stocks[2].columns.iter().map(|column| {
                let values = column.values.iter().copied().chain([bought.columns.value(&column.name, 0)]);
                Column { name: column.name.clone(), values: values.collect() }
            });
            job.stocks[2].columns = Columns::new(all.collect());
            job.stocks[2].parts.extend(bought.parts.iter().cloned());
        }),
    );
    vec![Some(fix), Some(bound), Some(aim), Some(lost), Some(added)]
}

/// The same for the rest: what is not guarded, what decides after the aim, a gasket that is admitted, heads.
pub(crate) fn further(case: &Case) -> Vec<Option<Both>> {
    let fit = FitName::PistonToHead;
    let guard: Both = (
        Change::Guard { matching: 0, fit, guard: false },
        Box::new(move |job| {
            let limits = &mut job.matches[0].limits;
            if limits.is_empty() {
                let none = (None, None, None, None);
                let (min, max, spread, neighbours) = none;
                limits.push(LimitAsked { fit, min, max, spread, neighbours, guard: true, line: 1 });
            }
            limits[0].guard = false;
        }),
    );
    let order = vec![Next::Spread(FitName::Mass), Next::Moves];
    let then: Both = (
        Change::Then { matching: 0, then: order.clone() },
        Box::new(move |job| job.matches[0].then = Some(order.clone())),
    );
    let admitted: Both =
        (Change::Admit { stock: 2, part: KEPT_OUT }, Box::new(move |job| job.stocks[2].parts[KEPT_OUT].fits = None));
    vec![Some(guard), Some(then), Some(admitted), heads(case)]
}

/// Heads that change banks, or one that is fixed on a bank. `None` where nothing can be swapped.
fn heads(case: &Case) -> Option<Both> {
    let job = crate::job(case);
    let role = job.matches[0].role("head").expect("placed");
    let pin = |bank, part| Pin { position: bank, part, role };
    if case.aim.is_multiple_of(2) {
        let pin = pin(case.deck.0, case.chamber.0);
        return Some((Change::Fix { matching: 0, pin }, Box::new(move |job| job.matches[0].keep.push(pin))));
    }
    let report = match_job(&job, None).expect("small");
    let Outcome::Planned(planned) = &report.matches[0].outcome else { return None };
    let on = |bank| planned.plan.setting.part(role, bank).expect("a head on every bank");
    let swapped = [pin(0, on(1)), pin(1, on(0))];
    let change = Change::Swap { matching: 0, role, banks: [0, 1] };
    Some((change, Box::new(move |job| job.matches[0].keep.extend(swapped))))
}

/// A gasket that the stock does not have, with the columns that it has.
fn another_gasket(case: &Case) -> Stock {
    let stock = whole_engine::job(case.measured, &case.dice).stocks[2].clone();
    let by = case.dice[7] * 100;
    let columns = stock.columns.iter().map(|column| {
        let value = column.values[0].map(|value| value.plus(by));
        Column { name: column.name.clone(), values: vec![value] }
    });
    let part = Part { id: "another".to_owned(), ..stock.parts[0].clone() };
    Stock { parts: vec![part], columns: Columns::new(columns.collect()), ..stock }
}

/// The bank of two is squared: the one whose deck is higher comes down to the other. `None` where no bank has two.
fn squared(case: &Case) -> Option<Both> {
    let measured = case.measured;
    if measured.banks[0] < 2 {
        return None;
    }
    let (bank, [one, other]) = (0, [0, 1]);
    let job = whole_engine::job(measured, &case.dice);
    let height = |cylinder| job.positions[0].columns.value("deck_height", cylinder).or(job.engine.deck_height);
    let read = job.deck.as_ref().map(|deck| Reduction::new(&job, deck, &[]).expect("a small job"));
    let low = |cylinder: usize| match &read {
        Some(read) => read.value(Pair { position: cylinder, part: 0 }).expect("tied"),
        None => -height(cylinder).expect("the engine has one").ticks(),
    };
    let (higher, by) =
        if low(one) < low(other) { (one, low(other) - low(one)) } else { (other, low(one) - low(other)) };
    Some((Change::SquareDeck { bank }, Box::new(move |job| cut_deck(job, measured.read, &[higher], by))))
}

fn cut_deck(job: &mut Job, read: bool, cylinders: &[usize], by: i64) {
    if read {
        raise(job, |position, _| cylinders.contains(&position), by);
        return;
    }
    let common = job.engine.deck_height;
    let all = job.positions[0].len();
    let own: Vec<Option<Amount>> = (0..all)
        .map(|at| {
            let height = job.positions[0].columns.value("deck_height", at).or(common)?;
            Some(height.plus(if cylinders.contains(&at) { -by } else { 0 }))
        })
        .collect();
    let others = job.positions[0].columns.iter().filter(|column| column.name != "deck_height").cloned();
    let heights = Column { name: "deck_height".to_owned(), values: own };
    job.positions[0].columns = Columns::new(others.chain([heights]).collect());
}

/// Raises what the dial read wherever `which` says so.
fn raise(job: &mut Job, which: impl Fn(usize, usize) -> bool, by: i64) {
    for row in job.deck.iter_mut().flat_map(|deck| &mut deck.rows) {
        if which(row.position, row.part) {
            row.value = row.value.plus(by);
        }
    }
}

fn edit(columns: &mut Columns, name: &str, row: usize, by: i64) {
    let all = columns.iter().map(|column| {
        let change = |(at, value): (usize, &Option<Amount>)| {
            value.map(|value| if column.name == name && at == row { value.plus(by) } else { value })
        };
        Column { name: column.name.clone(), values: column.values.iter().enumerate().map(change).collect() }
    });
    *columns = Columns::new(all.collect());
}
