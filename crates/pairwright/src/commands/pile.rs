//! `pile`: what more parts of a kind would do for a match.

use std::io::{self, Write};

use pairwright_engine::job::{Job, Next};
use pairwright_engine::outcome::match_job;
use pairwright_engine::pile::{Drawing, Gathered, MatchPile, NotReady, PileError, pile_of_match};
use pairwright_engine::plan::Taken;
use pairwright_engine::quantity::Unit;

use super::loading::{job_at, tell_missing};
use crate::Exit;
use crate::args::{CheckFormat, PileArguments};
use crate::render::{PileView, Style, pile_json, pile_text};
use crate::terminal::Terminal;

/// How many further parts are looked at where nothing is said.
const USUAL: [usize; 4] = [10, 25, 50, 100];

/// Says what more parts would do, for every match asked for.
pub(crate) fn pile(asked: &PileArguments, out: &mut dyn Write, err: &mut dyn Write) -> io::Result<Exit> {
    let color = Terminal::stderr(asked.look).color;
    let loaded = match job_at(&asked.job, color, err)? {
        Ok(loaded) => loaded,
        Err(exit) => return Ok(exit),
    };
    let job = &loaded.job;
    let index = match index(job, asked.only.as_deref()) {
        Ok(index) => index,
        Err(message) => {
            writeln!(err, "error: {message}")?;
            return Ok(Exit::Wrong);
        }
    };
    if asked.price.is_some() && !counts_money(job, index) {
        writeln!(
            err,
            "error: --price says nothing here: the match counts no money before its aim and limits none (`first`, `spend`)"
        )?;
        return Ok(Exit::Wrong);
    }
    if tell_missing(&loaded, |matching| matching == index, color, err)? {
        return Ok(Exit::NotHeld);
    }
    match answer(job, index, asked) {
        Ok(Ok(text)) => {
            out.write_all(text.as_bytes())?;
            Ok(Exit::Done)
        }
        Ok(Err(why)) => {
            writeln!(err, "error: {}", not_ready(job, &why))?;
            Ok(Exit::NotHeld)
        }
        Err(error) => {
            writeln!(err, "error: {error}")?;
            Ok(Exit::NotHeld)
        }
    }
}

/// The match asked for: the one of that name, or the only one there is.
fn index(job: &Job, only: Option<&str>) -> Result<usize, String> {
    let names = || {
        let names: Vec<_> = job.matches.iter().map(|matching| format!("`{}`", matching.name)).collect();
        names.join(", ")
    };
    match only {
        Some(name) => {
            let found = job.matches.iter().position(|matching| matching.name == name);
            found.ok_or_else(|| format!("the job has no match called `{name}`; it has {}", names()))
        }
        None if job.matches.len() == 1 => Ok(0),
        None if job.matches.is_empty() => Err("the job has no match to gather parts for".to_owned()),
        None => Err(format!("the job has several matches: say which with --only; it has {}", names())),
    }
}

/// Whether what a part costs can change what is chosen up to the aim.
fn counts_money(job: &Job, index: usize) -> bool {
    let buying = job.matches.get(index).map(|matching| &matching.buying);
    buying.is_some_and(|buying| {
        buying.spend.is_some() || buying.first.iter().any(|next| matches!(next, Next::Price | Next::Bought))
    })
}

fn answer(job: &Job, index: usize, asked: &PileArguments) -> Result<Result<String, NotReady>, PileError> {
    let taken = earlier(job, index)?;
    let page = |kind| page(job, index, asked, (&taken, kind));
    match page(asked.kind.as_deref())? {
        Err(NotReady::WhichKind(kinds)) if asked.kind.is_none() && asked.format == CheckFormat::Text => {
            let said = kinds.iter().map(|kind| match page(Some(kind)) {
                Ok(Ok(text)) => text,
                Ok(Err(why)) => format!("More of kind `{kind}`: {}\n", not_ready(job, &why)),
                Err(error) => format!("More of kind `{kind}`: {error}\n"),
            });
            Ok(Ok(said.collect::<Vec<_>>().join("\n")))
        }
        other => Ok(other),
    }
}

/// What more parts of one kind would do.
fn page(
    job: &Job,
    index: usize,
    asked: &PileArguments,
    (taken, kind): (&Taken, Option<&str>),
) -> Result<Result<String, NotReady>, PileError> {
    let gathered = Gathered { kind, price: asked.price.map(ticks_of_money) };
    let ready = match pile_of_match(job, index, taken, gathered)? {
        MatchPile::Ready(ready) => ready,
        MatchPile::NotReady(why) => return Ok(Err(why)),
    };
    let drawing = Drawing::of_seed(job.seed);
    let outlook = ready.pile.outlook(&numbers(&asked.more, ready.pile.farthest()), drawing)?;
    let view = PileView {
        job,
        index,
        kind: &ready.kind,
        stated: ready.stated,
        fit: ready.fit,
        numbers: &ready.numbers,
        before: ready.pile.fit().before(),
        gathered,
        finer: 0,
        futures: drawing,
    };
    let needs =
        asked.reach.map(|wanted| ready.pile.needs(view.wanted(wanted), ready.pile.farthest(), drawing)).transpose()?;
    Ok(Ok(match asked.format {
        CheckFormat::Json => pile_json(view, &outlook, needs.as_ref()),
        CheckFormat::Text => {
            let Terminal { width, color, ascii } = Terminal::stdout(asked.look);
            pile_text(view, &outlook, needs.as_ref(), &Style { width, color, ascii })
        }
    }))
}

/// How many further parts to look at, rising.
fn numbers(asked: &[usize], farthest: usize) -> Vec<usize> {
    if asked.is_empty() {
        return USUAL.into_iter().filter(|&more| more <= farthest).collect();
    }
    let mut numbers = asked.to_vec();
    numbers.sort_unstable();
    numbers.dedup();
    numbers
}

/// Money as typed, in ticks.
#[expect(clippy::cast_possible_truncation, reason = "a price is below a billion")]
fn ticks_of_money(typed: f64) -> i64 {
    let (numerator, denominator) = Unit::Money.ticks();
    (typed * numerator as f64 / denominator as f64).round() as i64
}

/// The parts that the matches before this one take.
fn earlier(job: &Job, index: usize) -> Result<Taken, PileError> {
    let mut taken = Taken::default();
    let name = job.matches.get(index).map(|matching| matching.name.as_str());
    if index > 0 {
        for one in match_job(job, name)?.before {
            one.certificate.take(job, one.index, &mut taken);
        }
    }
    Ok(taken)
}

fn not_ready(job: &Job, why: &NotReady) -> String {
    match why {
        NotReady::Missing(lacks) => {
            let lacks = lacks.iter().map(|lack| format!("{} needs {}", job.fits.phrase(lack.fit), lack.what));
            lacks.collect::<Vec<_>>().join("; ")
        }
        NotReady::WhichKind([one, other]) => {
            format!("the match places two kinds in every position: say with --kind which grows, `{one}` or `{other}`")
        }
        NotReady::OtherKind(kind) => {
            format!("the only kind that the match places position by position is `{kind}` (--kind)")
        }
        NotReady::Bound => {
            "some parts of the two kinds may only meet certain ones of the other kind, and nobody knows which \
                            a further part may meet"
                .to_owned()
        }
        NotReady::NoSum(fit) => format!(
            "what the parts of a position make of {} together is more than the sum of what each adds, and what further parts would do \
             cannot be told from the values",
            job.fits.phrase(*fit)
        ),
        NotReady::TooManyBundles => {
            "the parts of a position can be put together in too many ways: make the stock of this match smaller"
                .to_owned()
        }
        NotReady::NothingAPosition => "the match places no kind position by position".to_owned(),
        NotReady::NoPlanYet => {
            "no way to set heads and gaskets gives a plan yet: `match` says what would give one".to_owned()
        }
        NotReady::Untied(fit) => {
            format!(
                "some parts have no value of {} where others have one: `check` says what is missing",
                job.fits.phrase(*fit)
            )
        }
        NotReady::MoreNumbers(fit) => format!(
            "the parts enter {} by more than one number, and what further parts are like cannot be told from its values",
            job.fits.phrase(*fit)
        ),
        _ => "the match cannot be asked about its pile".to_owned(),
    }
}
