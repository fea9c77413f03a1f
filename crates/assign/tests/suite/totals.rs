//! Totals of tables large enough to be read row by row, against another library's assignment.

use pairwright_assign::{
    Criterion, Evidence, Item, Measure, Outcome, Problem, Sense, Shape, Slot, Table, any_best, solve_with_proof,
};
use pairwright_proof::check_proof;
use pathfinding::prelude::{Matrix, kuhn_munkres_min};

/// Numbers below `bound` that look random.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, bound: i64) -> i64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        i64::try_from(self.0 >> 33).unwrap() % bound
    }
}

const FAMILIES: [&str; 5] = ["uniform", "ties", "squares", "geometric", "near-additive"];

fn table(family: &str, shape: Shape, forbidden: i64) -> Table {
    let mut numbers = Numbers(family.len() as u64 * 1000 + shape.items as u64 + forbidden.unsigned_abs());
    let mut points = |count| (0..count).map(|_| [0; 2].map(|_| numbers.below(10_000))).collect::<Vec<[i64; 2]>>();
    let (slots, items) = (points(shape.slots), points(shape.items));
    let value = |slot: Slot, item: Item| {
        let ([a, b], [c, d]) = (slots[slot.index()], items[item.index()]);
        let value = match family {
            "uniform" => numbers.below(1_000_000) - 500_000,
            "ties" => numbers.below(101),
            "squares" => (a - c) * (a - c),
            "geometric" => ((a - c).pow(2) + (b - d).pow(2)).isqrt(),
            _ => a + c + numbers.below(500),
        };
        // Every slot keeps an item of its own.
        (numbers.below(100) >= forbidden || slot.number() == item.number()).then_some(value)
    };
    Table::from_fn(shape, value).unwrap()
}

/// The least total by the other library, forbidden pairs dearer than all others together.
fn least_total(table: &Table, cost: impl Fn(i64) -> i64) -> i128 {
    let Shape { slots, items } = table.shape();
    let cells = table.slots().flat_map(|slot| table.row(slot));
    let costs = cells.map(|&value| if value == Table::FORBIDDEN { 1 << 50 } else { cost(value) }).collect();
    kuhn_munkres_min(&Matrix::from_vec(slots, items, costs).unwrap()).0.into()
}

#[test]
fn every_family_and_shape_agrees_with_another_library() {
    for family in FAMILIES {
        for (slots, items) in [(70, 70), (120, 120), (60, 75), (40, 160)] {
            for forbidden in [0, 20] {
                let table = table(family, Shape { slots, items }, forbidden);
                let criterion = |measure, sense| Criterion { table: &table, measure, sense, slack: 0 };
                let target = 400;
                let asked = [
                    (criterion(Measure::Total, Sense::Least), least_total(&table, |value| value)),
                    (criterion(Measure::Total, Sense::Most), -least_total(&table, |value| -value)),
                ];
                let squares = (family == "ties" || family == "near-additive").then(|| {
                    let squares = criterion(Measure::SquaresFrom { target }, Sense::Least);
                    (squares, least_total(&table, |value| (value - target) * (value - target)))
                });
                for (criterion, value) in asked.into_iter().chain(squares) {
                    let problem = Problem::new(vec![criterion], vec![]).unwrap();
                    let best = any_best(&problem).unwrap();
                    assert_eq!(best.value, value, "{family} {slots} x {items} {criterion:?}");
                    let checked = check_proof(&problem.statement(), &best.choice, &[best.value], &best.proof());
                    assert_eq!(checked.unwrap().levels, 1);
                }
            }
        }
    }
}

#[test]
fn solve_and_its_proof_take_the_same_way_with_changes() {
    for family in FAMILIES {
        let table = table(family, Shape { slots: 66, items: 70 }, 20);
        let total = Criterion { table: &table, measure: Measure::Total, sense: Sense::Least, slack: 0 };
        let problem = Problem::new(vec![total], vec![]).unwrap();
        let problem = problem.force(Slot::new(3), Item::new(3)).unwrap().leave_out(Item::new(69)).unwrap();
        let problem = problem.forbid(Slot::new(0), Item::new(7)).unwrap();
        let (Outcome::Proven(best), Evidence::Proof(proof)) = solve_with_proof(&problem) else { panic!("{family}") };
        assert_eq!(check_proof(&problem.statement(), &best.choice, &best.values, &proof).unwrap().levels, 1);
        assert_eq!(any_best(&problem).unwrap().value, best.values[0], "{family}");
        let brought = problem.bring_in(best.choice.item(Slot::new(1)).unwrap()).unwrap();
        assert_eq!(any_best(&brought).unwrap().value, best.values[0], "{family}");
    }
}

#[test]
fn costs_too_large_for_the_short_way_take_the_long_one() {
    let table = Table::from_fn(Shape { slots: 70, items: 70 }, |slot, item| {
        Some(Table::LIMIT - i64::from(slot.number() * 7 + item.number() * 11) % 97)
    })
    .unwrap();
    let measure = Measure::SquaresFrom { target: -Table::LIMIT };
    let squares = Criterion { table: &table, measure, sense: Sense::Least, slack: 0 };
    let problem = Problem::new(vec![squares], vec![]).unwrap();
    let best = any_best(&problem).unwrap();
    assert_eq!(check_proof(&problem.statement(), &best.choice, &[best.value], &best.proof()).unwrap().levels, 1);
}
