//! Joint choices of two kinds: `joint make FOLDER` writes instances, `joint time FOLDER` solves them and says how long
//! it took. `bench/joint.py` sets a general solver beside it on the same files.
//!
//! A file holds, line after line: a name; `sum` or `ratio` with the scale's factor; what items of the first kind add; the
//! second kind; the constant of every slot (ratio only matters); then one line of offsets for every outer choice.

use std::error::Error;
use std::fs;
use std::hint::black_box;
use std::io::{self, Write};
use std::path::Path;

use pairwright_assign::{
    Budget, JointAim, JointOutcome, JointProblem, JointSolution, JointStatement, NoProof, Scale, Shape, Table,
    prove_joint, solve_joint,
};
use pairwright_bench::{Numbers, median, timed};
use pairwright_proof::{OuterProof, Slot, verify_joint};

const SLOTS: usize = 8;

fn main() -> Result<(), Box<dyn Error>> {
    let arguments: Vec<String> = std::env::args().collect();
    match arguments.get(1..).unwrap_or_default() {
        [verb, folder] if verb == "make" => make(Path::new(folder)),
        [verb, folder] if verb == "time" => time(Path::new(folder)),
        _ => Err("say `make FOLDER` or `time FOLDER`".into()),
    }
}

struct Instance {
    name: String,
    /// 0: the value is the sum; else the factor of the ratio.
    factor: i64,
    first: Vec<i64>,
    second: Vec<i64>,
    constants: Vec<i64>,
    offsets: Vec<Vec<i64>>,
}

fn make(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut numbers = Numbers::new(34);
    for ratio in [false, true] {
        for (firsts, seconds) in [(8, 8), (8, 16), (12, 12), (24, 24)] {
            for fine in [true, false] {
                for (groups, lifts) in [(1, 1), (2, 1), (8, 5)] {
                    let instance = instance(&mut numbers, ratio, (firsts, seconds), fine, (groups, lifts));
                    fs::write(folder.join(&instance.name), instance.text())?;
                }
            }
        }
    }
    Ok(())
}

/// Two groups of four slots; `groups` sets of four offsets to put on them, any two in any order; `lifts` common lifts.
fn instance(
    numbers: &mut Numbers,
    ratio: bool,
    (firsts, seconds): (usize, usize),
    fine: bool,
    (groups, lifts): (usize, i64),
) -> Instance {
    let (range, step) = match (ratio, fine) {
        (false, true) => (200_000, 1),
        (false, false) => (200_000, 2540),
        (true, true) => (1_000_000, 1),
        (true, false) => (1_000_000, 50_000),
    };
    let mut effect = |range: i64| {
        let drawn = i64::try_from(numbers.below(u64::try_from(range).unwrap_or(1))).unwrap_or(0) - range / 2;
        (drawn + step / 2).div_euclid(step) * if ratio { step } else { 1 }
    };
    let mut effects = |count: usize, range: i64| (0..count).map(|_| effect(range)).collect::<Vec<i64>>();
    let first = effects(firsts, range);
    let second = effects(seconds, range / 2);
    let slots = effects(SLOTS, range / 2);
    let constants = effects(SLOTS, range).into_iter().map(|away| if ratio { 683_000_000 + away } else { 0 }).collect();
    let sets: Vec<Vec<i64>> = (0..groups).map(|_| effects(SLOTS / 2, range)).collect();
    let (base, lift) = if ratio { (75_000_000, 700_000) } else { (0, 100) };
    let mut offsets = Vec::new();
    for (left, on_left) in sets.iter().enumerate() {
        for (right, on_right) in sets.iter().enumerate() {
            if left == right && groups > 1 {
                continue;
            }
            for turn in 0..lifts {
                let set = on_left.iter().chain(on_right).zip(&slots);
                offsets.push(set.map(|(set, slot)| base + lift * turn + set + slot).collect());
            }
        }
    }
    let factor = if !ratio {
        0
    } else if fine {
        1_000_000
    } else {
        1_000
    };
    let kind = if ratio { "ratio" } else { "sum" };
    let ticks = if fine { "fine" } else { "coarse" };
    let name = format!("{kind}-{firsts}x{seconds}-{ticks}-{}outer", offsets.len());
    Instance { name, factor, first, second, constants, offsets }
}

impl Instance {
    fn text(&self) -> String {
        let line = |numbers: &[i64]| numbers.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ");
        let mut lines = vec![self.name.clone(), self.factor.to_string()];
        lines.extend([line(&self.first), line(&self.second), line(&self.constants)]);
        lines.extend(self.offsets.iter().map(|offsets| line(offsets)));
        lines.join("\n") + "\n"
    }

    fn read(path: &Path) -> Result<Self, Box<dyn Error>> {
        let text = fs::read_to_string(path)?;
        let mut lines = text.lines();
        let name = lines.next().ok_or("no name")?.to_owned();
        let factor = lines.next().ok_or("no factor")?.parse()?;
        let rows: Result<Vec<Vec<i64>>, _> =
            lines.map(|line| line.split(' ').map(str::parse).collect::<Result<Vec<i64>, _>>()).collect();
        let mut rows = rows?.into_iter();
        let mut row = || rows.next().ok_or("a row is missing");
        let (first, second, constants) = (row()?, row()?, row()?);
        Ok(Self { name, factor, first, second, constants, offsets: rows.collect() })
    }
}

/// One line a file: name, median microseconds without and with ties, spread, how far ties were settled,
/// then microseconds to make a proof and to verify it, and its number of steps.
fn time(folder: &Path) -> Result<(), Box<dyn Error>> {
    let mut paths: Vec<_> =
        fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    paths.sort();
    for path in paths {
        let instance = Instance::read(&path)?;
        let table =
            |of: &[i64]| Table::from_fn(Shape { slots: SLOTS, items: of.len() }, |_, item| Some(of[item.index()]));
        let (first, second) = (table(&instance.first)?, table(&instance.second)?);
        let ratio = |slot: Slot, sum: i64| {
            (sum > 0).then(|| instance.factor + instance.factor * instance.constants[slot.index()] / sum)
        };
        let scale = if instance.factor == 0 { Scale::Sum } else { Scale::Map(&ratio) };
        let statement = JointStatement {
            first: &first,
            second: &second,
            barred: &[],
            offsets: &instance.offsets,
            scale,
            beside: None,
        };
        let problem = JointProblem::new(statement, JointAim::Spread)?;
        let JointOutcome::Proven(solution) = solve_joint(&problem, &Budget::default())? else {
            return Err("no proof".into());
        };
        let micros = |problem: &JointProblem<'_>| {
            median(9, || drop(black_box(solve_joint(black_box(problem), &Budget::default())))).as_secs_f64() * 1e6
        };
        let (aim, with_ties) = (micros(&problem.clone().with_tie_effort(0)), micros(&problem));
        let proof = proof(&problem, &solution)?;
        let (name, value, ties) = (&instance.name, solution.value, solution.ties);
        writeln!(io::stdout(), "{name} {aim:.1} {with_ties:.1} {value} {ties:?} {proof}")?;
    }
    Ok(())
}

fn proof(problem: &JointProblem<'_>, solution: &JointSolution) -> Result<String, Box<dyn Error>> {
    let (made, proof) = timed(|| prove_joint(problem, solution.value, &Budget::nodes(1 << 20)));
    let proof = match proof {
        Ok(proof) => proof,
        Err(NoProof::Stopped(_)) => return Ok("- - -".to_owned()),
        Err(error) => return Err(error.into()),
    };
    let measure = problem.aim().measure();
    let verify = || verify_joint(problem.statement(), measure, &solution.choice, solution.value, &proof);
    let (verified, checked) = timed(verify);
    checked?;
    let [made, verified] = [made, verified].map(|took| took.as_secs_f64() * 1e6);
    let segments = proof.outers.iter().flat_map(|outer| match outer {
        OuterProof::Windows(segments) => segments.as_slice(),
        OuterProof::Like(_) => &[],
    });
    let steps: usize = segments.map(|segment| segment.steps.len()).sum();
    Ok(format!("{made:.0} {verified:.0} {steps}"))
}
