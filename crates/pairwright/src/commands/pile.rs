//! `pile`: what more parts of a kind would do for a match.

use std::io::{self, Write};

use pairwright_engine::job::Job;
use pairwright_engine::outcome::match_job;
use pairwright_engine::pile::{Drawing, MatchPile, NotReady, PileError, pile_of_match};
use pairwright_engine::plan::Taken;

use super::loading::{job_at, tell_missing};
use crate::Exit;
use crate::args::{CheckFormat, PileArguments};
use crate::render::{PileView, Style, pile_json, pile_text};
use crate::terminal::Terminal;

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

fn answer(job: &Job, index: usize, asked: &PileArguments) -> Result<Result<String, NotReady>, PileError> {
    let taken = earlier(job, index)?;
    let ready = match pile_of_match(job, index, &taken)? {
        MatchPile::Ready(ready) => ready,
        MatchPile::NotReady(why) => return Ok(Err(why)),
    };
    let drawing = Drawing::of_seed(job.seed);
    let outlook = ready.pile.outlook(&asked.more, drawing)?;
    let view = PileView { job, index, kind: &ready.kind, fit: ready.fit, numbers: &ready.numbers, futures: drawing };
    let needs =
        asked.reach.map(|wanted| ready.pile.needs(view.ticks(wanted), ready.pile.farthest(), drawing)).transpose()?;
    Ok(Ok(match asked.format {
        CheckFormat::Json => pile_json(view, &outlook, needs.as_ref()),
        CheckFormat::Text => {
            let Terminal { width, color, ascii } = Terminal::stdout(asked.look);
            pile_text(view, &outlook, needs.as_ref(), &Style { width, color, ascii })
        }
    }))
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
        NotReady::TwoKinds => "the match places two kinds in every position, which are chosen together: what one more \
                               part of one kind does hangs on the other. Ask with a match that places one of them"
            .to_owned(),
        NotReady::SeveralAPosition => {
            "the match places several parts of one kind in every position, for which a pile is not \
                                       judged yet. Ask with a match that places one of them"
                .to_owned()
        }
        NotReady::NothingAPosition => "the match places no kind position by position".to_owned(),
        NotReady::NoPlanYet => {
            "no way to set heads and gaskets gives a plan yet: `match` says what would give one".to_owned()
        }
        NotReady::Buying => {
            "the match has `first` or `spend`, which further parts are not chosen under yet: take them out, \
                             or ask about a match without them"
                .to_owned()
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
