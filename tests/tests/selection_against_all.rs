//! What is said of a choice from a pile, against every choice there is.

use pairwright::Exit;
use pairwright_tests::brute;
use pairwright_tests::folder::{folder, pairwright};
use proptest::prelude::*;
use serde_json::Value;

/// Standard uncertainty of a size, in µm.
const U: f64 = 10.0;
/// Two-sided 95 %.
const FACTOR: f64 = 1.959_963_984_540_054;

/// Bases of the valves and sizes of the shims in µm; a value is their sum, and the sum of all values shall be highest.
#[derive(Clone, Debug)]
struct Pile {
    bases: Vec<i64>,
    sizes: Vec<i64>,
    cap: i64,
}

impl Pile {
    fn value(&self, position: usize, part: usize) -> i64 {
        self.bases[position] + self.sizes[part]
    }

    fn may(&self, position: usize, part: usize) -> bool {
        self.value(position, part) <= self.cap
    }

    /// The highest total over all choices of parts for which `wanted` holds.
    fn highest(&self, wanted: impl Fn(&[usize]) -> bool) -> Option<i64> {
        let row = |position: usize| (0..self.sizes.len()).map(|part| self.may(position, part)).collect();
        let allowed: Vec<Vec<bool>> = (0..self.bases.len()).map(row).collect();
        let total = |chosen: &[usize]| -> i64 {
            chosen.iter().enumerate().map(|(position, &part)| self.value(position, part)).sum()
        };
        let least = brute::least(&allowed, |chosen| (!wanted(chosen), -total(chosen)));
        least.filter(|(unwanted, _)| !unwanted).map(|(_, total)| -total)
    }

    fn planned(&self) -> Option<Value> {
        let mm = |um: i64| format!("{}.{:03}", um / 1_000, um % 1_000);
        let job = format!(
            "units = \"mm\"\n[stock]\nshim = \"shims.csv\"\n[positions]\nvalve = \"valves.csv\"\n[uncertainty]\nsize = 0.010\n\
             [fit.height]\nplus = [\"valve.base\", \"shim.size\"]\n[[match]]\nplace = \"shim\"\nhighest = \"height\"\n\
             limits = {{ height = {{ max = {}, guard = false }} }}\n",
            mm(self.cap)
        );
        let rows = |sizes: &[i64]| {
            let rows: Vec<String> = sizes.iter().enumerate().map(|(at, &um)| format!("{at},{}\n", mm(um))).collect();
            rows.concat()
        };
        let valves = format!("valve,base\n{}", rows(&self.bases));
        let shims = format!("id,size\n{}", rows(&self.sizes));
        let job = folder(&[("job.toml", &job), ("valves.csv", &valves), ("shims.csv", &shims)]);
        let ran = pairwright("match", job.path(), &["--format", "json"]);
        let document: Value = serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{ran:?}"));
        (ran.exit == Exit::Done).then(|| document["matches"][0].clone())
    }
}

fn number(label: &Value) -> usize {
    label.as_str().and_then(|label| label.parse().ok()).expect("a label")
}

/// Millimetres as µm.
#[expect(clippy::cast_possible_truncation, reason = "a few millimetres")]
fn um(value: &Value) -> i64 {
    (value.as_f64().expect("a number") * 1e3).round() as i64
}

fn piles() -> impl Strategy<Value = Pile> {
    (prop::collection::vec(1_000_i64..1_040, 2..=3), prop::collection::vec(2_000_i64..2_060, 7..=8), 3_020_i64..3_090)
        .prop_map(|(bases, sizes, cap)| Pile { bases, sizes, cap })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn prop_what_is_said_of_a_choice_from_a_pile_is_so(pile in piles()) {
        let Some(found) = pile.planned() else {
            prop_assert_eq!(pile.highest(|_| true), None);
            return Ok(());
        };
        let chosen: Vec<usize> = found["placements"].as_array().expect("placements").iter()
            .map(|place| number(&place["parts"]["shim"])).collect();
        let parts = 0..pile.sizes.len();
        let left_out: Vec<usize> = parts.clone().filter(|part| !chosen.contains(part)).collect();
        let said = &found["selection"];
        prop_assert_eq!(said["of"].as_u64(), Some(pile.sizes.len() as u64));
        prop_assert_eq!(said["placed"].as_u64(), Some(chosen.len() as u64));

        // The last one in: no other set of parts has a higher total, and the price is the difference.
        let mut sorted = chosen.clone();
        sorted.sort_unstable();
        let best = pile.highest(|_| true).expect("a plan");
        let other = pile.highest(|other| {
            let mut other = other.to_vec();
            other.sort_unstable();
            other != sorted
        });
        let edge = &said["edge"];
        match other {
            None => prop_assert!(edge.is_null()),
            Some(other) => {
                prop_assert_eq!(um(&edge["price"]["aim"]), best - other);
                let [last, first] = ["last_in", "first_out"].map(|key| edge[key].as_array().expect("parts").len());
                prop_assert!(last == first && last > 0);
                let doubt = FACTOR * U * (2.0 * last as f64).sqrt();
                prop_assert!((edge["doubt"].as_f64().expect("a doubt") * 1e3 - doubt).abs() < 1e-6, "{} {}", edge, doubt);
                prop_assert_eq!(edge["price"]["below_doubt"].as_bool(), Some(((best - other) as f64) < doubt));
            }
        }

        for (position, contest) in said["positions"].as_array().expect("positions").iter().enumerate() {
            let mine = pile.value(position, chosen[position]);
            prop_assert_eq!(um(&contest["value"]), mine);
            let open = left_out.iter().copied().filter(|&part| pile.may(position, part));
            let next = open.map(|part| pile.value(position, part)).max();
            prop_assert_eq!((!contest["next"].is_null()).then(|| um(&contest["next"]["value"])), next);
            if let Some(next) = next {
                prop_assert_eq!(um(&contest["next"]["gain"]), mine - next);
                let below = ((mine - next) as f64) < FACTOR * U * 2_f64.sqrt();
                prop_assert_eq!(contest["next"]["below_doubt"].as_bool(), Some(below));
            }
            let better: Vec<usize> = parts.clone().filter(|&part| pile.value(position, part) > mine).collect();
            let kept_out: Vec<i64> = better.iter().filter(|&&part| !pile.may(position, part))
                .map(|&part| pile.value(position, part)).collect();
            let barred = &contest["kept_out"];
            prop_assert_eq!(barred["count"].as_u64().unwrap_or(0), kept_out.len() as u64);
            if let Some(nearest) = kept_out.iter().min() {
                prop_assert_eq!(um(&barred["value"]), *nearest);
                prop_assert_eq!(um(&barred["misses"]), nearest - pile.cap);
                prop_assert_eq!(um(&barred["spare"]), pile.cap - mine);
            }
            let because = if better.iter().any(|&part| pile.may(position, part)) {
                // A part left out that would be better and may go there would have been chosen.
                prop_assert!(better.iter().filter(|&&part| pile.may(position, part)).all(|part| chosen.contains(part)));
                "elsewhere"
            } else if kept_out.is_empty() {
                "best_of_pile"
            } else {
                "at_the_limit"
            };
            prop_assert_eq!(contest["because"].as_str(), Some(because));
        }

        let nowhere = |part: &usize| (0..chosen.len()).all(|position| !pile.may(position, *part));
        let too_good: Vec<usize> = left_out.iter().copied().filter(nowhere).collect();
        let said: Vec<usize> = said["too_good"].as_array().expect("parts").iter().map(number).collect();
        prop_assert_eq!(said, too_good);
    }
}
