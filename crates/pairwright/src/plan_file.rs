//! A plan with its proof as a file: what `match --proof` writes and `recheck` reads.
//!
//! ```text
//! pairwright plan 1
//! match short block
//! bank left                    every bank that heads and gaskets are placed on (or `engine`), and below it
//! head H2                      what goes there
//! …
//! cylinder 1                   every position in bank order, and below it
//! piston H                     the part that goes there
//! …
//! values 42334 5 8             the value of every criterion, in order
//! pairwright proof 1           the proof, as `pairwright-proof` writes it
//! …
//! best                         for every other setting of heads and gaskets in their order: the best it has,
//! piston C                     (or `nothing`, or `unproven`)
//! …
//! values 42500
//! pairwright proof 1           and why
//! …
//! beside neighbours            where neighbours are limited: the proof (and `best beside neighbours`,
//! …                            `nothing beside neighbours` for other settings)
//! both together                where two kinds are placed in every position: why no two assignments are better, once for
//! best 8421                    every criterion that the proof reaches, with the best value there is
//! the best there is            and, where the aim gave something for what comes next, a choice that has it: heads and
//! …                            gaskets, then parts, as above
//! prices 0 120 …               of a total the prices of the parts of either kind, for every outer choice
//! …
//! several of one kind          where a position takes several parts of one kind, each below it by its own name (`upper S4`):
//! …                            why no choice from the pile is better, for every criterion likewise
//! ```
//!
//! A file holds one such section for every match that has a plan, those before the only one asked for included. That of a
//! match without one says so, then what was asked for, then why nothing fulfils it:
//!
//! ```text
//! pairwright plan 1
//! match short block
//! no plan
//! cylinder 8                   how many positions there are
//! piston 12                    of every kind how many parts are left to choose from
//! …
//! settings 24                  in how many ways heads and gaskets can be set; 1 where none are placed
//! spend 4000                   the most that may be spent, in hundredths, where the job says so
//! limit max guarded 25400 … of deck  every limit in ticks, position by position (`-`: none there), `plain` where its
//! …                            guard band does not count
//! both together                where two kinds are placed in every position: the proof for all settings; `several of one
//! …                            kind` likewise; else, for every setting in order, `nothing`, `nothing beside neighbours`
//! …                            (or what is spent) and the proof, or `unproven`; `no proof` where there is none at all
//! ```

mod no_plan;

use std::collections::BTreeSet;
use std::fmt::Write as _;

use pairwright_engine::job::{Bank, Job, Matching, Positions, Role, Scope};
use pairwright_engine::outcome::{JobReport, Outcome};
use pairwright_engine::plan::{
    Certificate, Elsewhere, JointLevel, NoPlan, Served, Setting, SeveralLevel, Witness, placed_a_position,
};
use pairwright_proof::{
    JointProof, Level, ParseError, Proof, Refutation, SidedProof, parse_joint_proof, parse_proof, parse_several_proof,
    parse_sided_proof, write_joint_proof, write_proof, write_several_proof, write_sided_proof,
};

const FIRST_LINE: &str = "pairwright plan 1";
const ENGINE: &str = "engine";
const JOINT: &str = "both together";
const WITNESS: &str = "the best there is";
const PRICES: &str = "prices";
const SEVERAL: &str = "several of one kind";
const BESIDE: &str = "beside neighbours";
const BEST_BESIDE: &str = "best beside neighbours";
const NOTHING: &str = "nothing";
const UNPROVEN: &str = "unproven";
const NOTHING_BESIDE: &str = "nothing beside neighbours";

/// A section of a plan file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Section {
    /// Index of the match in the job.
    pub matching: usize,
    /// What is said of it.
    pub said: Said,
}

/// What a section says of its match.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Said {
    /// The plan and its proof.
    Plan(Box<Certificate>),
    /// That there is no plan, and why.
    NoPlan(NoPlan),
}

/// Why a text is no plan file of a job.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum PlanFileError {
    /// A line is not what has to stand there.
    #[error("line {line}: expected {expected}, found `{found}`")]
    Line {
        /// The line, from 1.
        line: usize,
        /// What has to stand there.
        expected: String,
        /// What stands there; empty at the end of the text.
        found: String,
    },
    /// The proof of a section cannot be read.
    #[error("the proof that begins at line {line}: {source}")]
    Proof {
        /// The line at which the proof begins.
        line: usize,
        /// What is wrong with it, its lines counted from there.
        source: ParseError,
    },
}

/// The plans of a report with their proofs, and the proofs that there are none; empty where nothing was decided.
#[must_use]
pub fn write(job: &Job, report: &JobReport) -> String {
    let before = report.before.iter().filter_map(|one| section(job, &job.matches[one.index], &one.certificate));
    let asked = report.matches.iter().filter_map(|one| {
        let matching = &job.matches[one.index];
        match &one.outcome {
            Outcome::Planned(planned) => section(job, matching, &planned.certificate),
            Outcome::Impossible(why) => no_plan::section(job, matching, &why.no_plan),
            Outcome::Undecided | Outcome::Missing(_) => None,
        }
    });
    before.chain(asked).collect()
}

fn section(job: &Job, matching: &Matching, certificate: &Certificate) -> Option<String> {
    let mut text = format!("{FIRST_LINE}\nmatch {}\n", matching.name);
    text.push_str(&placed(job, matching, &certificate.setting, [&certificate.parts, &certificate.seconds])?);
    let roles = placed_a_position(job, matching);
    let _ = writeln!(text, "values{}", numbers(&certificate.values));
    text.push_str(&write_proof(&certificate.proof));
    if let Some(beside) = &certificate.beside {
        let _ = write!(text, "{BESIDE}\n{}", write_sided_proof(beside));
    }
    for other in &certificate.elsewhere {
        text.push_str(&elsewhere(job, &roles.first()?.kind, other)?);
    }
    for level in &certificate.joint {
        text.push_str(&joint_level(job, matching, level)?);
    }
    for SeveralLevel { witness, proof } in &certificate.several {
        let _ = writeln!(text, "{SEVERAL}");
        if let Some(witness) = witness {
            text.push_str(&best_there_is(job, matching, witness)?);
        }
        text.push_str(&write_several_proof(proof));
    }
    Some(text)
}

/// What serves banks or the engine, then what goes into every position.
fn placed(job: &Job, matching: &Matching, setting: &Setting, parts: [&Vec<usize>; 2]) -> Option<String> {
    let positions = job.positions_of(matching)?;
    let mut text = String::new();
    for served in &setting.served {
        let kind = &matching.place.get(served.role)?.kind;
        let place =
            served.bank.map_or(Some(ENGINE.to_owned()), |bank| Some(format!("bank {}", job.banks.get(bank)?.name)))?;
        let _ = writeln!(text, "{place}\n{kind} {}", job.stock(kind)?.parts.get(served.part)?.id);
    }
    let roles = placed_a_position(job, matching);
    for (at, position) in positions.ids.iter().enumerate() {
        let _ = writeln!(text, "{} {position}", positions.kind);
        for (role, part) in roles.iter().zip(parts_at(parts, at, roles.len())) {
            let _ = writeln!(text, "{} {}", role.name, job.stock(&role.kind)?.parts.get(part)?.id);
        }
    }
    Some(text)
}

/// The parts of a position, of so many roles: the first role's, then those of the roles beside it.
fn parts_at([parts, seconds]: [&Vec<usize>; 2], position: usize, roles: usize) -> impl Iterator<Item = usize> {
    let beside = roles.saturating_sub(1);
    let others = seconds.iter().skip(position * beside).take(beside);
    parts.get(position).into_iter().chain(others).copied()
}

/// Why no two assignments are better by a criterion.
fn joint_level(job: &Job, matching: &Matching, level: &JointLevel) -> Option<String> {
    let mut text = format!("{JOINT}\nbest {}\n", level.best);
    if let Some(witness) = &level.witness {
        text.push_str(&best_there_is(job, matching, witness)?);
    }
    for prices in level.prices.iter().flatten() {
        let all = prices.iter().fold(String::new(), |text, price| text + " " + &price.to_string());
        let _ = writeln!(text, "{PRICES}{all}");
    }
    text.push_str(&write_joint_proof(&level.proof));
    Some(text)
}

/// A choice that has the best value of a criterion.
fn best_there_is(job: &Job, matching: &Matching, witness: &Witness) -> Option<String> {
    let placed = placed(job, matching, &witness.setting, [&witness.parts, &witness.seconds])?;
    Some(format!("{WITNESS}\n{placed}"))
}

/// Why another setting is no better.
fn elsewhere(job: &Job, kind: &str, other: &Elsewhere) -> Option<String> {
    let mut text = String::new();
    match other {
        Elsewhere::Unproven => text = format!("{UNPROVEN}\n"),
        Elsewhere::Nothing(reason) => text = nothing(reason),
        Elsewhere::NothingBeside(proof) => {
            let _ = write!(text, "{NOTHING_BESIDE}\n{}", write_sided_proof(proof));
        }
        Elsewhere::Best { parts, values, proof } => {
            let _ = write!(text, "best\n{}{}", worth(job, kind, parts, values)?, write_proof(proof));
        }
        Elsewhere::BestBeside { parts, values, proof } => {
            let best = worth(job, kind, parts, values)?;
            let _ = write!(text, "{BEST_BESIDE}\n{best}{}", write_sided_proof(proof));
        }
    }
    Some(text)
}

/// Why a setting has nothing.
fn nothing(reason: &Refutation) -> String {
    let level = Level { best: 0, witness: None, reason: reason.clone() };
    format!("{NOTHING}\n{}", write_proof(&Proof { levels: vec![level] }))
}

/// Parts in position order, and what they are worth.
fn worth(job: &Job, kind: &str, parts: &[usize], values: &[i128]) -> Option<String> {
    let mut text = String::new();
    for &part in parts {
        let _ = writeln!(text, "{kind} {}", job.stock(kind)?.parts.get(part)?.id);
    }
    let _ = writeln!(text, "values{}", numbers(values));
    Some(text)
}

fn numbers(values: &[i128]) -> String {
    values.iter().fold(String::new(), |text, value| text + " " + &value.to_string())
}

/// The sections of a plan file, its labels looked up in the job.
///
/// # Errors
/// [`PlanFileError`] with the first line that is wrong.
pub fn read(job: &Job, text: &str) -> Result<Vec<Section>, PlanFileError> {
    let mut lines = Lines { all: text.lines().collect(), at: 0, used: BTreeSet::new() };
    let mut sections = Vec::new();
    while lines.at < lines.all.len() {
        sections.push(lines.section(job)?);
    }
    if sections.is_empty() {
        return Err(lines.wrong(&format!("`{FIRST_LINE}`")));
    }
    Ok(sections)
}

struct Lines<'t> {
    all: Vec<&'t str>,
    at: usize,
    /// Parts of the plans so far, by kind: pieces of one type bear one label, and each is used once.
    used: BTreeSet<(String, usize)>,
}

impl<'t> Lines<'t> {
    fn section(&mut self, job: &Job) -> Result<Section, PlanFileError> {
        self.take(&format!("`{FIRST_LINE}`"), |line| (line == FIRST_LINE).then_some(()))?;
        let named = |line: &str| {
            job.matches.iter().position(|matching| Some(matching.name.as_str()) == line.strip_prefix("match "))
        };
        let matching = self.take("the name of a match of the job", named)?;
        let asked = &job.matches[matching];
        if self.all.get(self.at).copied() == Some(no_plan::NO_PLAN) {
            self.at += 1;
            return Ok(Section { matching, said: Said::NoPlan(self.no_plan(job, asked)?) });
        }
        let mut certificate = Certificate { setting: self.setting(job, asked)?, ..Certificate::default() };
        let roles = placed_a_position(job, asked);
        [certificate.parts, certificate.seconds] = self.placed(job, asked)?;
        certificate.values = self.values()?;
        certificate.proof = self.proof()?;
        loop {
            match self.all.get(self.at).copied() {
                Some(UNPROVEN) => {
                    self.at += 1;
                    certificate.elsewhere.push(Elsewhere::Unproven);
                }
                Some(NOTHING) => {
                    self.at += 1;
                    certificate.elsewhere.push(self.reason()?.map_or(Elsewhere::Unproven, Elsewhere::Nothing));
                }
                Some(BESIDE) => {
                    self.at += 1;
                    certificate.beside = Some(self.sided_proof()?);
                }
                Some(NOTHING_BESIDE) => {
                    self.at += 1;
                    certificate.elsewhere.push(Elsewhere::NothingBeside(self.sided_proof()?));
                }
                Some(best @ ("best" | BEST_BESIDE)) => {
                    self.at += 1;
                    let count = job.positions_of(asked).map_or(0, Positions::len);
                    let kind = roles.first().map_or("", |role| &role.kind);
                    let parts = self.parts_elsewhere(job, kind, count)?;
                    let values = self.values()?;
                    certificate.elsewhere.push(if best == BEST_BESIDE {
                        Elsewhere::BestBeside { parts, values, proof: self.sided_proof()? }
                    } else {
                        Elsewhere::Best { parts, values, proof: self.proof()? }
                    });
                }
                Some(JOINT) => {
                    self.at += 1;
                    certificate.joint.push(self.joint_level(job, asked)?);
                }
                Some(SEVERAL) => {
                    self.at += 1;
                    let witness = self.witness(job, asked)?;
                    let (start, text) = self.block();
                    let proof = parse_several_proof(&text);
                    let proof = proof.map_err(|source| PlanFileError::Proof { line: start + 1, source })?;
                    certificate.several.push(SeveralLevel { witness, proof });
                }
                _ => break,
            }
        }
        Ok(Section { matching, said: Said::Plan(Box::new(certificate)) })
    }

    /// The parts of every position, of one role after the other.
    fn placed(&mut self, job: &Job, asked: &Matching) -> Result<[Vec<usize>; 2], PlanFileError> {
        let roles = placed_a_position(job, asked);
        let [mut parts, mut seconds] = [Vec::new(), Vec::new()];
        for id in job.positions_of(asked).into_iter().flat_map(|positions| &positions.ids) {
            let kind = job.positions_of(asked).map_or("", |positions| positions.kind.as_str());
            let wanted = format!("{kind} {id}");
            self.take(&format!("`{wanted}`"), |line| (line == wanted).then_some(()))?;
            for (at, role) in roles.iter().enumerate() {
                let part = self.part(job, (&role.name, &role.kind))?;
                self.used.insert((role.kind.clone(), part));
                if at == 0 { parts.push(part) } else { seconds.push(part) }
            }
        }
        Ok([parts, seconds])
    }

    /// Why no two assignments are better by a criterion.
    fn joint_level(&mut self, job: &Job, asked: &Matching) -> Result<JointLevel, PlanFileError> {
        let best = self.take("`best` and a number", |line| line.strip_prefix("best ")?.parse().ok())?;
        let witness = self.witness(job, asked)?;
        let mut prices = Vec::new();
        let row = |line: &str| -> Option<Vec<i64>> {
            line.strip_prefix(PRICES)?.split_whitespace().map(|word| word.parse().ok()).collect()
        };
        while self.all.get(self.at).is_some_and(|line| line.starts_with(PRICES)) {
            let first = self.take("prices of one kind", row)?;
            prices.push([first, self.take("prices of the other kind", row)?]);
        }
        Ok(JointLevel { best, witness, prices, proof: self.joint_proof()? })
    }

    /// A choice that has the best value of a criterion, where it comes next.
    fn witness(&mut self, job: &Job, asked: &Matching) -> Result<Option<Witness>, PlanFileError> {
        if self.all.get(self.at).copied() != Some(WITNESS) {
            return Ok(None);
        }
        self.at += 1;
        let setting = self.setting(job, asked)?;
        // It is another plan, that may use the same parts.
        let built = std::mem::take(&mut self.used);
        let [parts, seconds] = self.placed(job, asked)?;
        self.used = built;
        Ok(Some(Witness { setting, parts, seconds }))
    }

    /// What serves banks, or the engine, as far as the lines go.
    fn setting(&mut self, job: &Job, asked: &Matching) -> Result<Setting, PlanFileError> {
        let mut served = Vec::new();
        let serves = |role: &Role| asked.scope(&role.kind) != Scope::Position;
        if !asked.place.iter().any(serves) {
            // A kind of positions may be called `bank`.
            return Ok(Setting { served });
        }
        loop {
            let bank = match self.all.get(self.at).copied() {
                Some(ENGINE) => None,
                Some(line) if line.starts_with("bank ") => {
                    let named = |bank: &Bank| line.strip_prefix("bank ") == Some(bank.name.as_str());
                    let bank = job.banks.iter().position(named);
                    Some(bank.ok_or_else(|| self.wrong("a bank of the job"))?)
                }
                _ => return Ok(Setting { served }),
            };
            self.at += 1;
            let known = |line: &str| {
                let (kind, id) = line.split_once(' ')?;
                let role = asked.role(kind)?;
                let part = job.stock(kind)?.parts.iter().position(|part| part.id == id)?;
                Some(Served { role, bank, part })
            };
            served.push(self.take("a part that serves a bank or the engine", known)?);
        }
    }

    /// The parts of a plan that is not the one to build.
    fn parts_elsewhere(&mut self, job: &Job, kind: &str, count: usize) -> Result<Vec<usize>, PlanFileError> {
        let built = std::mem::take(&mut self.used);
        let mut parts = Vec::with_capacity(count);
        for _ in 0..count {
            let part = self.part(job, (kind, kind))?;
            self.used.insert((kind.to_owned(), part));
            parts.push(part);
        }
        self.used = built;
        Ok(parts)
    }

    /// A part by what it is called in its place, and its kind: of a type the next piece.
    fn part(&mut self, job: &Job, (name, kind): (&str, &str)) -> Result<usize, PlanFileError> {
        let used = std::mem::take(&mut self.used);
        let known = |line: &str| {
            let id = line.strip_prefix(name)?.strip_prefix(' ')?;
            let parts = &job.stock(kind)?.parts;
            let first = parts.iter().position(|part| part.id == id)?;
            let is_free = |part: usize| !used.contains(&(kind.to_owned(), part));
            let mut pieces = (first..parts.len()).take_while(|&part| parts[part].id == id);
            // More than there are is for the checker to say.
            Some(pieces.find(|&part| is_free(part)).unwrap_or(first))
        };
        let called = if name == kind { String::new() } else { format!("`{name}` and ") };
        let found = self.take(&format!("{called}a {kind} of the stock"), known);
        self.used = used;
        found
    }

    fn values(&mut self) -> Result<Vec<i128>, PlanFileError> {
        let numbers = |line: &str| -> Option<Vec<i128>> {
            line.strip_prefix("values")?.split_whitespace().map(|word| word.parse().ok()).collect()
        };
        self.take("the values of the criteria", numbers)
    }

    fn proof(&mut self) -> Result<Proof, PlanFileError> {
        let (start, text) = self.block();
        parse_proof(&text).map_err(|source| PlanFileError::Proof { line: start + 1, source })
    }

    /// Why a setting has nothing.
    fn reason(&mut self) -> Result<Option<Refutation>, PlanFileError> {
        Ok(self.proof()?.levels.pop().map(|level| level.reason))
    }

    fn joint_proof(&mut self) -> Result<JointProof, PlanFileError> {
        let (start, text) = self.block();
        parse_joint_proof(&text).map_err(|source| PlanFileError::Proof { line: start + 1, source })
    }

    fn sided_proof(&mut self) -> Result<SidedProof, PlanFileError> {
        let (start, text) = self.block();
        parse_sided_proof(&text).map_err(|source| PlanFileError::Proof { line: start + 1, source })
    }

    /// The lines up to the next that begins something of this file, and where they start.
    fn block(&mut self) -> (usize, String) {
        let start = self.at;
        let begins = |line: &&str| {
            [FIRST_LINE, JOINT, SEVERAL, BESIDE, BEST_BESIDE, NOTHING_BESIDE, "best", NOTHING, UNPROVEN].contains(line)
        };
        let end = self.all[start..].iter().position(begins).map_or(self.all.len(), |more| start + more);
        self.at = end;
        (start, self.all[start..end].join("\n"))
    }

    fn take<T>(&mut self, expected: &str, read: impl FnOnce(&'t str) -> Option<T>) -> Result<T, PlanFileError> {
        let found = self.all.get(self.at).copied().and_then(read).ok_or_else(|| self.wrong(expected))?;
        self.at += 1;
        Ok(found)
    }

    fn wrong(&self, expected: &str) -> PlanFileError {
        let found = self.all.get(self.at).copied().unwrap_or_default().to_owned();
        PlanFileError::Line { line: self.at + 1, expected: expected.to_owned(), found }
    }
}
