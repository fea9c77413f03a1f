//! Matches that buy parts against every way to fill the positions.

use std::collections::BTreeMap;

use pairwright::Exit;
use pairwright_tests::brute;
use pairwright_tests::folder::{folder, pairwright};
use proptest::prelude::*;
use serde_json::Value;

/// A row of the shim stock: thickness in µm, how many, price in hundredths.
#[derive(Clone, Copy, Debug)]
struct Row {
    thickness: i64,
    count: Option<usize>,
    price: Option<i64>,
}

/// Gaps in µm above the valves, and what there is to put in.
#[derive(Clone, Debug)]
struct Shop {
    gaps: Vec<i64>,
    rows: Vec<Row>,
    least: i64,
    most: i64,
}

/// `0.123` for 123 µm, `1.23` for 123 hundredths.
fn decimal(number: i64, digits: usize) -> String {
    let scale = 10_i64.pow(u32::try_from(digits).expect("few"));
    format!("{}.{:0digits$}", number / scale, number % scale)
}

impl Shop {
    /// Rows of single pieces: every piece by the number of its row.
    fn pieces(&self) -> Vec<usize> {
        let copies = |row: &Row| row.count.unwrap_or(1).min(self.gaps.len());
        self.rows.iter().enumerate().flat_map(|(at, row)| std::iter::repeat_n(at, copies(row))).collect()
    }

    fn lash(&self, position: usize, row: usize) -> i64 {
        self.gaps[position] - self.rows[row].thickness
    }

    /// Which piece may go where, the lash being at most so much more than the limit.
    fn allowed(&self, more: i64) -> Vec<Vec<bool>> {
        let pieces = self.pieces();
        let may = |position: usize, row: usize| (self.least..=self.most + more).contains(&self.lash(position, row));
        (0..self.gaps.len()).map(|at| pieces.iter().map(|&row| may(at, row)).collect()).collect()
    }

    fn price(&self, rows: &[usize]) -> i64 {
        rows.iter().filter_map(|&row| self.rows[row].price).sum()
    }

    fn bought(&self, rows: &[usize]) -> usize {
        rows.iter().filter(|&&row| self.rows[row].price.is_some()).count()
    }

    fn lashes(&self, rows: &[usize]) -> Vec<i64> {
        rows.iter().enumerate().map(|(position, &row)| self.lash(position, row)).collect()
    }

    /// The least of a cost over all ways to fill the gaps.
    fn least<C: PartialOrd>(&self, more: i64, cost: impl Fn(&[usize]) -> C) -> Option<C> {
        let pieces = self.pieces();
        brute::least(&self.allowed(more), |chosen| cost(&chosen.iter().map(|&piece| pieces[piece]).collect::<Vec<_>>()))
    }

    /// The job with these keys of the match, planned.
    fn planned(&self, keys: &str) -> (Exit, Value) {
        let job = format!(
            "units = \"mm\"\n[stock]\nshim = \"shims.csv\"\n[positions]\nvalve = \"valves.csv\"\n[fit.lash_after]\n\
             plus = \"valve.gap\"\nminus = \"shim.thickness\"\n[[match]]\nplace = \"shim\"\n{keys}\n\
             limits = {{ lash_after = {{ min = {}, max = {}, guard = false }} }}\n",
            decimal(self.least, 3),
            decimal(self.most, 3)
        );
        let gaps = self.gaps.iter().enumerate().map(|(at, &gap)| format!("{at},{}\n", decimal(gap, 3)));
        let shims = self.rows.iter().enumerate().map(|(at, row)| {
            let price = row.price.map_or_else(String::new, |price| decimal(price, 2));
            let count = row.count.map_or_else(String::new, |count| count.to_string());
            format!("r{at},{},{count},{price}\n", decimal(row.thickness, 3))
        });
        let valves = format!("valve,gap\n{}", gaps.collect::<String>());
        let shims = format!("id,thickness,count,price\n{}", shims.collect::<String>());
        let job = folder(&[("job.toml", &job), ("valves.csv", &valves), ("shims.csv", &shims)]);
        let proof = job.path().join("proof.txt");
        let proof = proof.to_str().expect("plain");
        let ran = pairwright("match", job.path(), &["--format", "json", "--proof", proof]);
        let document: Value = serde_json::from_str(&ran.out).unwrap_or_else(|_| panic!("{ran:?}"));
        if ran.exit == Exit::Done {
            let again = pairwright("recheck", job.path(), &[proof]);
            assert_eq!(again.exit, Exit::Done, "{again:?}");
            let proof = &document["matches"][0]["proof"];
            assert_eq!(proof["levels"], proof["of"], "{proof}");
            let told = format!("holds for {0} of {0} criteria", proof["of"]);
            assert!(again.out.contains(&told), "{again:?}");
        } else if document["matches"][0]["outcome"] == "impossible" {
            let again = pairwright("recheck", job.path(), &[proof]);
            assert!(
                again.exit == Exit::Done && again.out.ends_with("the proof holds: there is no plan\n"),
                "{again:?}"
            );
            let reach = &document["matches"][0]["impossible"]["proof"];
            assert_eq!((&reach["settings"], &reach["of"]), (&Value::from(1), &Value::from(1)));
        }
        (ran.exit, document["matches"][0].clone())
    }

    /// The rows that a plan uses, in position order; every row no more often than there are pieces of it.
    fn rows_of(&self, found: &Value) -> Vec<usize> {
        let placements = found["placements"].as_array().expect("placements");
        let row = |place: &Value| place["parts"]["shim"].as_str().expect("a shim")[1..].parse().expect("a row");
        let rows: Vec<usize> = placements.iter().map(row).collect();
        let mut used: BTreeMap<usize, usize> = BTreeMap::new();
        for &row in &rows {
            *used.entry(row).or_default() += 1;
        }
        for (row, times) in used {
            assert!(times <= self.rows[row].count.unwrap_or(1), "row {row}: {times}");
        }
        rows
    }

    /// Another plan is there where one is cheap enough; else it is said what the cheapest costs, the first of the pair saying
    /// that it is none.
    fn check_too_dear(&self, told: &Value, cheapest: Option<(bool, i64)>, most: i64) {
        let cheapest = cheapest.filter(|(is_none, _)| !is_none).map(|(_, price)| price);
        let dear = cheapest.filter(|&price| price > most);
        assert_eq!(told["plan"].is_null(), cheapest.is_none_or(|price| price > most), "{told} {cheapest:?} {self:?}");
        assert_eq!(told["least_price"].as_f64(), dear.map(|price| price as f64 / 100.0), "{told} {self:?}");
    }

    /// The shopping list says what the plan uses.
    fn check_shopping(&self, found: &Value, rows: &[usize]) {
        let total = found["shopping"]["total"].as_f64();
        if self.rows.iter().all(|row| row.price.is_none()) {
            assert_eq!(total, None);
            return;
        }
        assert_eq!(total, Some(self.price(rows) as f64 / 100.0));
        let lines = found["shopping"]["lines"].as_array().expect("lines");
        let pieces: u64 = lines.iter().filter_map(|line| line["count"].as_u64()).sum();
        assert_eq!(pieces, self.bought(rows) as u64);
    }
}

fn shops() -> impl Strategy<Value = Shop> {
    let row = (2_000_i64..2_100, 0_usize..4, prop::option::of(0_i64..5)).prop_map(|(thickness, count, price)| Row {
        thickness,
        count: (count > 0).then_some(count),
        price: price.map(|price| price * 125),
    });
    (prop::collection::vec(2_150_i64..2_250, 2..=3), prop::collection::vec(row, 3..=5), 40_i64..150).prop_map(
        |(gaps, mut rows, width)| {
            // At least one row has a price, so that prices may be asked for.
            rows[0].price = Some(rows[0].price.unwrap_or(250));
            Shop { gaps, rows, least: 80, most: 80 + width }
        },
    )
}

fn spread(values: &[i64]) -> i64 {
    values.iter().max().zip(values.iter().min()).map_or(0, |(high, low)| high - low)
}

fn worst(values: &[i64]) -> i64 {
    values.iter().map(|value| (value - 120).abs()).max().unwrap_or(0)
}

const NEAR: &str = "near = { fit = \"lash_after\", value = 0.120 }\n";

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    /// Cheapest first, then nearest; fewest pieces first, then cheapest, then nearest.
    #[test]
    fn prop_what_comes_first_is_least(shop in shops()) {
        for (keys, by_pieces) in [("first = \"price\"\n", false), ("first = [\"bought\", \"price\"]\n", true)] {
            let cost = |rows: &[usize]| {
                (if by_pieces { shop.bought(rows) } else { 0 }, shop.price(rows), worst(&shop.lashes(rows)))
            };
            let (exit, found) = shop.planned(&format!("{keys}{NEAR}then = []"));
            if let Some(best) = shop.least(0, cost) {
                prop_assert_eq!(exit, Exit::Done);
                let rows = shop.rows_of(&found);
                prop_assert_eq!(cost(&rows), best);
                shop.check_shopping(&found, &rows);
            } else {
                prop_assert_eq!(&found["outcome"], "impossible");
            }
        }
    }

    /// Most even, then fewest pieces, then cheapest; and an aim that gives something for the price.
    #[test]
    fn prop_what_comes_after_the_aim_is_least(shop in shops(), slack in 0_i64..40) {
        let cost = |rows: &[usize]| (spread(&shop.lashes(rows)), shop.bought(rows), shop.price(rows));
        let (_, found) = shop.planned("even = \"lash_after\"\nthen = [\"bought\", \"price\"]");
        if let Some(best) = shop.least(0, cost) {
            let rows = shop.rows_of(&found);
            prop_assert_eq!(cost(&rows), best);
            let keys = format!("even = {{ fit = \"lash_after\", slack = {} }}\nthen = [\"price\"]", decimal(slack, 3));
            let (_, found) = shop.planned(&keys);
            let rows = shop.rows_of(&found);
            let within = |rows: &[usize]| spread(&shop.lashes(rows)) <= best.0 + slack;
            prop_assert!(within(&rows));
            let cheapest = shop.least(0, |rows| (!within(rows), shop.price(rows)));
            prop_assert_eq!(Some((false, shop.price(&rows))), cheapest);
        } else {
            prop_assert_eq!(&found["outcome"], "impossible");
        }
    }

    /// Never more than may be spent; where that is too little, the least that would do and how far a limit would have to
    /// give are exact.
    #[test]
    fn prop_no_more_is_spent_than_may_be(shop in shops(), most in 0_i64..1_500) {
        let cost = |rows: &[usize]| (shop.price(rows) > most, worst(&shop.lashes(rows)), shop.price(rows));
        let keys = format!("{NEAR}then = [\"price\"]\nspend = {{ max = {} }}", decimal(most, 2));
        let (exit, found) = shop.planned(&keys);
        match shop.least(0, cost) {
            None => prop_assert_eq!(&found["outcome"], "impossible"),
            Some(best @ (false, ..)) => {
                prop_assert_eq!(exit, Exit::Done);
                let rows = shop.rows_of(&found);
                prop_assert_eq!(cost(&rows), best);
                for forced in found["forced_in"].as_array().expect("parts left out") {
                    let row: usize = forced["part"].as_str().expect("a label")[1..].parse().expect("a row");
                    let cheapest = shop.least(0, |rows| (!rows.contains(&row), shop.price(rows)));
                    shop.check_too_dear(forced, cheapest, most);
                }
                for (position, runner) in found["runners_up"].as_array().expect("runners-up").iter().enumerate() {
                    let own = rows[position];
                    let cheapest = shop.least(0, |rows| (rows[position] == own, shop.price(rows)));
                    shop.check_too_dear(runner, cheapest, most);
                }
                let other = found["others"].as_array().expect("others").iter().find(|one| one["what"] == "other_parts");
                if let Some(other) = other {
                    let is_other = |used: &[usize]| {
                        let times = |all: &[usize], row: usize| all.iter().filter(|&&own| own == row).count();
                        rows.iter().any(|&row| times(used, row) == 0)
                    };
                    let cheapest = shop.least(0, |used| (!is_other(used), shop.price(used)));
                    shop.check_too_dear(other, cheapest, most);
                }
            }
            Some((true, ..)) => {
                prop_assert_eq!(&found["outcome"], "impossible");
                let culprits = found["impossible"]["culprits"].as_array().expect("culprits");
                let spend = culprits.iter().find(|one| one["what"] == "spend").expect("what may be spent");
                let least = shop.least(0, |rows| shop.price(rows)).expect("there is a plan");
                prop_assert_eq!(spend["least"].as_f64(), Some(least as f64 / 100.0));
                let limit = culprits.iter().find(|one| one["what"] == "limit" && one["kind"] == "max");
                let over = |rows: &[usize]| shop.lashes(rows).into_iter().map(|lash| lash - shop.most).max().unwrap_or(0);
                let needed = shop.least(10_000, |rows| (shop.price(rows) > most, over(rows)));
                let needed = needed.filter(|(dear, _)| !dear).map(|(_, over)| over as f64 / 1_000.0);
                let told = limit.and_then(|limit| limit["enough"]["value"].as_f64());
                prop_assert_eq!(told.map(|told| (told * 1e6).round()), needed.map(|needed| (needed * 1e6).round()));
            }
        }
    }
}
