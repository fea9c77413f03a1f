//! A short block of pistons, rods, heads and a gasket, and every way there is to build it.
//!
//! Masses and deck clearances are whole ticks by either way of working them out, so that every criterion is compared
//! exactly, and of plans equal by all of them the one that comes first.

use pairwright_engine::job::{
    Aim, Bank, Buying, Column, Columns, FitName, Goal, HeadSeat, Job, LimitAsked, Measured, Next, Part, Role, Stock,
};
use pairwright_engine::plan::Certificate;
use pairwright_engine::quantity::{Amount, Unit};
use pairwright_tests::{brute, build};
use proptest::prelude::*;

/// In two banks.
pub(crate) const CYLINDERS: usize = 4;
const THICKNESSES: [i64; 2] = [1_000_000, 1_200_000];

/// A part.
#[derive(Clone, Debug)]
pub(crate) struct Piece {
    /// What it adds to the deck, in nm.
    pub(crate) height: i64,
    /// In 0.1 mg.
    pub(crate) mass: i64,
    /// What it costs, if it has to be bought.
    pub(crate) price: Option<i64>,
    /// The cylinder where it stands.
    pub(crate) at: Option<usize>,
}

/// Everything that differs from case to case.
#[derive(Clone, Debug)]
pub(crate) struct Block {
    /// All pistons.
    pub(crate) pistons: Vec<Piece>,
    /// All rods.
    pub(crate) rods: Vec<Piece>,
    /// Price, and the bank where it stands.
    pub(crate) heads: Vec<(Option<i64>, Option<usize>)>,
    /// The price of one gasket of each thickness; every bank takes one.
    pub(crate) gaskets: [Option<i64>; 2],
    /// Heights of the decks, in nm.
    pub(crate) cylinders: Vec<i64>,
    /// Rods are placed, too.
    pub(crate) with_rods: bool,
    /// What counts before the aim.
    pub(crate) first: Vec<Next>,
    /// What may be spent.
    pub(crate) spend: Option<i64>,
    /// The aim.
    pub(crate) aim: Aim,
    /// What decides after it.
    pub(crate) then: Option<Vec<Next>>,
    /// Least piston-to-head clearance.
    pub(crate) least_gap: i64,
    /// Widest spread of masses.
    pub(crate) widest_mass: i64,
}

/// One way to build the block.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Built {
    /// Heads left and right, gasket.
    pub(crate) setting: [usize; 3],
    /// In cylinder order.
    pub(crate) pistons: Vec<usize>,
    /// In cylinder order; none where rods are not placed.
    pub(crate) rods: Vec<usize>,
}

impl Built {
    /// What a certificate says is built.
    pub(crate) fn of(certificate: &Certificate) -> Self {
        let served: Vec<usize> = certificate.setting.served.iter().map(|served| served.part).collect();
        let setting = served.try_into().expect("two heads and a gasket");
        Self { setting, pistons: certificate.parts.clone(), rods: certificate.seconds.clone() }
    }
}

type Cells = Vec<Option<Amount>>;

fn stock(kind: &str, places: &[Option<usize>], columns: Vec<(&str, Cells)>) -> Stock {
    let part = |(index, &at): (usize, &Option<usize>)| Part {
        id: format!("{kind} {index}"),
        at,
        fits: None,
        with: None,
        count: None,
        line: 2 + u32::try_from(index).expect("few parts"),
    };
    Stock {
        kind: kind.to_owned(),
        positions: String::new(),
        file: format!("{kind}s.csv"),
        parts: places.iter().enumerate().map(part).collect(),
        columns: Columns::new(columns.into_iter().map(|(name, values)| column(name, values)).collect()),
    }
}

fn column(name: &str, values: Cells) -> Column {
    let file = build::column(name, &[]);
    Column { values, ..file }
}

fn priced(price: Option<i64>) -> Option<Amount> {
    price.map(money)
}

fn money(ticks: i64) -> Amount {
    Amount::new(ticks, Unit::One, 0)
}

fn grams(ticks: i64) -> Amount {
    Amount::new(ticks, Unit::Gram, 4)
}

impl Block {
    /// The job.
    pub(crate) fn job(&self) -> Job {
        let mut job = build::job(CYLINDERS, self.pistons.len());
        let bank = |name: &str, cylinders: Vec<usize>| Bank {
            name: name.to_owned(),
            cylinders,
            head: Some(HeadSeat::AsMeasured),
            straight: false,
            form: None,
            line: 1,
        };
        job.banks = vec![bank("left", vec![0, 1]), bank("right", vec![2, 3])];
        job.positions[0].banks = (0..CYLINDERS).map(|position| Some(position / 2)).collect();
        let of = |pieces: &[Piece], value: fn(&Piece) -> Option<Amount>| pieces.iter().map(value).collect::<Vec<_>>();
        let at = |pieces: &[Piece]| pieces.iter().map(|piece| piece.at).collect::<Vec<_>>();
        let prices = self.heads.iter().map(|head| priced(head.0)).collect();
        let places: Vec<Option<usize>> = self.heads.iter().map(|head| head.1).collect();
        let common = |pieces: &[Piece]| {
            vec![
                ("mass", of(pieces, |piece| Some(grams(piece.mass)))),
                ("price", of(pieces, |piece| priced(piece.price))),
            ]
        };
        let mut rods = common(&self.rods);
        rods.push(("length", of(&self.rods, |rod| Some(build::nm(140_000_000 + rod.height)))));
        job.stocks = vec![
            stock("piston", &at(&self.pistons), common(&self.pistons)),
            stock("rod", &if self.with_rods { at(&self.rods) } else { vec![None; self.rods.len()] }, rods),
            stock("head", &places, vec![("price", prices)]),
            stock(
                "gasket",
                &[None; 2],
                vec![
                    ("thickness", THICKNESSES.map(|thickness| Some(build::nm(thickness))).to_vec()),
                    ("price", self.gaskets.map(priced).to_vec()),
                ],
            ),
        ];
        let control = (0..CYLINDERS).map(|cylinder| (cylinder, 0, self.pistons[0].height + self.cylinders[cylinder]));
        let others = (1..self.pistons.len()).map(|piston| (0, piston, self.pistons[piston].height + self.cylinders[0]));
        let mut deck = build::readings(&control.chain(others).collect::<Vec<_>>());
        deck.control_rod = Some(0);
        job.deck = Some(deck);
        let limit =
            |fit, min, spread| LimitAsked { fit, min, max: None, spread, neighbours: None, guard: false, line: 1 };
        let matching = &mut job.matches[0];
        let kinds = ["piston", "rod", "head", "gasket"].into_iter().filter(|&kind| self.with_rods || kind != "rod");
        matching.place = kinds.map(Role::of).collect();
        matching.buying = Buying { first: self.first.clone(), spend: self.spend.map(money) };
        matching.aim = self.aim;
        matching.then.clone_from(&self.then);
        matching.limits = vec![
            limit(FitName::PistonToHead, Some(build::nm(self.least_gap)), None),
            limit(FitName::Mass, None, Some(grams(self.widest_mass))),
        ];
        job
    }

    fn value(&self, built: &Built, fit: FitName, position: usize) -> i64 {
        let piston = &self.pistons[built.pistons[position]];
        let rod = built.rods.get(position).map(|&rod| &self.rods[rod]);
        if fit == FitName::Mass {
            return piston.mass + rod.map_or(0, |rod| rod.mass);
        }
        piston.height + self.cylinders[position] + rod.map_or(0, |rod| rod.height - self.rods[0].height)
    }

    fn values(&self, built: &Built, fit: FitName) -> Vec<i64> {
        (0..CYLINDERS).map(|position| self.value(built, fit, position)).collect()
    }

    fn is_allowed(&self, built: &Built) -> bool {
        let gap = |deck: i64| THICKNESSES[built.setting[2]] - deck >= self.least_gap;
        self.values(built, FitName::Deck).into_iter().all(gap)
            && spread(&self.values(built, FitName::Mass)) <= i128::from(self.widest_mass)
    }

    fn moves(&self, built: &Built) -> i128 {
        let counts = |pieces: &[Piece]| pieces.iter().any(|piece| piece.at.is_some());
        let moved = |pieces: &[Piece], chosen: &[usize]| {
            (0..CYLINDERS).filter(|&at| pieces[chosen[at]].at != Some(at)).count() as i128
        };
        let rods = if self.with_rods && counts(&self.rods) { moved(&self.rods, &built.rods) } else { 0 };
        let known = self.heads.iter().any(|head| head.1.is_some());
        let heads = (0..2).filter(|&bank| known && self.heads[built.setting[bank]].1 != Some(bank)).count();
        moved(&self.pistons, &built.pistons) + rods + heads as i128
    }

    /// The price of every piece that has one.
    fn prices(&self, built: &Built) -> Vec<i64> {
        let pistons = built.pistons.iter().filter_map(|&piston| self.pistons[piston].price);
        let rods = built.rods.iter().filter_map(|&rod| self.rods[rod].price);
        let heads = (0..2).filter_map(|bank| self.heads[built.setting[bank]].0);
        let gaskets = (0..2).filter_map(|_| self.gaskets[built.setting[2]]);
        pistons.chain(rods).chain(heads).chain(gaskets).collect()
    }

    /// What it costs.
    pub(crate) fn price(&self, built: &Built) -> i128 {
        self.prices(built).into_iter().map(i128::from).sum()
    }

    fn next(&self, next: Next, built: &Built) -> i128 {
        match next {
            Next::Spread(fit) => spread(&self.values(built, fit)),
            Next::Moves => self.moves(built),
            Next::Price => self.price(built),
            Next::Bought => self.prices(built).len() as i128,
        }
    }

    /// The aim; less is better.
    fn loss(&self, built: &Built) -> i128 {
        let values = self.values(built, self.aim.fit);
        let away = |target: Amount| {
            values.iter().map(move |value| i128::from((value - target.ticks()).abs())).collect::<Vec<_>>()
        };
        let total: i128 = values.iter().map(|&value| i128::from(value)).sum();
        let (most, least) = (values.iter().max().expect("some"), values.iter().min().expect("some"));
        match (self.aim.goal, self.aim.by) {
            (Goal::Even, Measured::Squares) => about_mean(&values),
            (Goal::Even, _) => spread(&values),
            (Goal::Near(target), Measured::Squares) => away(target).iter().map(|away| away * away).sum(),
            (Goal::Near(target), _) => away(target).into_iter().max().expect("some"),
            (Goal::Highest, Measured::Extreme) => -i128::from(*least),
            (Goal::Lowest, Measured::Extreme) => i128::from(*most),
            (Goal::Highest, _) => -total,
            (Goal::Lowest, _) => total,
        }
    }

    /// What decides after the aim, in order.
    fn rest(&self, built: &Built) -> Vec<i128> {
        let values = self.values(built, self.aim.fit);
        if let Some(then) = &self.then {
            return then.iter().map(|&next| self.next(next, built)).collect();
        }
        let mut rest = Vec::new();
        if !(self.aim.goal == Goal::Even && self.aim.by == Measured::Spread) {
            rest.push(spread(&values));
        }
        if !(self.aim.goal == Goal::Even && self.aim.by == Measured::Squares) {
            rest.push(about_mean(&values));
        }
        let known = |pieces: &[Piece]| pieces.iter().any(|piece| piece.at.is_some());
        if known(&self.pistons) || self.with_rods && known(&self.rods) || self.heads.iter().any(|head| head.1.is_some())
        {
            rest.push(self.moves(built));
        }
        rest
    }

    /// What counts before the aim.
    fn before(&self, built: &Built) -> Vec<i128> {
        self.first.iter().map(|&next| self.next(next, built)).collect()
    }

    /// What it is worth by every criterion.
    pub(crate) fn worths(&self, built: &Built) -> Vec<i128> {
        let turned = if self.aim.goal == Goal::Highest { -1 } else { 1 };
        let aim = [turned * self.loss(built)];
        self.before(built).into_iter().chain(aim).chain(self.rest(built)).collect()
    }

    /// The best of all ways to build the block, with what it is worth; the first of those that are equally good.
    pub(crate) fn best(&self) -> Option<(Built, Vec<i128>)> {
        let mut all = self.all();
        all.retain(|built| self.spend.is_none_or(|most| self.price(built) <= most.into()));
        let before = all.iter().map(|built| self.before(built)).min()?;
        all.retain(|built| self.before(built) == before);
        let least = all.iter().map(|built| self.loss(built)).min()?;
        let most = least + self.slack(least);
        let good = all.into_iter().filter(|built| self.loss(built) <= most);
        let best = good.min_by_key(|built| {
            let loss = if self.aim.slack.is_some() { 0 } else { self.loss(built) };
            (loss, self.rest(built), built.clone())
        })?;
        let values = self.worths(&best);
        Some((best, values))
    }

    /// What the cheapest of all ways costs, whatever may be spent.
    pub(crate) fn cheapest(&self) -> Option<i128> {
        self.all().iter().map(|built| self.price(built)).min()
    }

    /// The slack on squares is a root mean square.
    #[expect(clippy::cast_possible_truncation, clippy::cast_precision_loss, reason = "small squares")]
    fn slack(&self, least: i128) -> i128 {
        let Some(slack) = self.aim.slack else { return 0 };
        if self.aim.by != Measured::Squares {
            return slack.ticks().into();
        }
        let n = CYLINDERS as f64;
        let scale = if self.aim.goal == Goal::Even { n * n } else { n };
        let rms = (least as f64 / scale).sqrt() + slack.ticks() as f64;
        (rms * rms * scale - least as f64).max(0.0) as i128
    }

    fn all(&self) -> Vec<Built> {
        let every = |parts: usize| {
            let mut all = Vec::new();
            brute::every_assignment(&vec![vec![true; parts]; CYLINDERS], &mut |chosen| all.push(chosen.to_vec()));
            all
        };
        let pistons = every(self.pistons.len());
        let rods = if self.with_rods { every(self.rods.len()) } else { vec![Vec::new()] };
        let heads = (0..self.heads.len()).flat_map(|left| (0..self.heads.len()).map(move |right| (left, right)));
        let mut all = Vec::new();
        for (left, right) in heads.filter(|(left, right)| left != right) {
            for gasket in 0..THICKNESSES.len() {
                for pistons in &pistons {
                    for rods in &rods {
                        let setting = [left, right, gasket];
                        all.push(Built { setting, pistons: pistons.clone(), rods: rods.clone() });
                    }
                }
            }
        }
        all.retain(|built| self.is_allowed(built));
        all
    }
}

fn spread(values: &[i64]) -> i128 {
    i128::from(values.iter().max().expect("some") - values.iter().min().expect("some"))
}

fn about_mean(values: &[i64]) -> i128 {
    let total: i128 = values.iter().map(|&value| i128::from(value)).sum();
    values.len() as i128 * values.iter().map(|&value| i128::from(value).pow(2)).sum::<i128>() - total.pow(2)
}

/// Few different sizes, so that many plans are equally good by the first criteria.
pub(crate) fn block() -> impl Strategy<Value = Block> {
    let piece =
        (-4_i64..5, 0_i64..6, 1_i64..4, prop::option::of(0..CYLINDERS)).prop_map(|(height, mass, price, at)| Piece {
            height: height * 10_000,
            mass: mass * 5_000,
            price: Some(price),
            at,
        });
    let (pistons, rods) = (prop::collection::vec(piece.clone(), 4..=5), prop::collection::vec(piece, 4..=5));
    let heads = prop::collection::vec(((1_i64..4).prop_map(Some), prop::option::of(0_usize..2)), 2..=3);
    let fit = prop_oneof![Just(FitName::Mass), Just(FitName::Deck)];
    let goal = prop_oneof![
        3 => Just((Goal::Even, Measured::Spread)),
        1 => Just((Goal::Even, Measured::Squares)),
        2 => Just((Goal::Near(Amount::new(15_000, Unit::Gram, 4)), Measured::Worst)),
        1 => Just((Goal::Near(Amount::new(15_000, Unit::Gram, 4)), Measured::Squares)),
        1 => Just((Goal::Highest, Measured::Total)),
        1 => Just((Goal::Lowest, Measured::Total)),
        1 => Just((Goal::Highest, Measured::Extreme)),
        1 => Just((Goal::Lowest, Measured::Extreme)),
    ];
    let next = prop_oneof![
        Just(Next::Moves),
        Just(Next::Price),
        Just(Next::Spread(FitName::Mass)),
        Just(Next::Spread(FitName::Deck)),
    ];
    let then = prop::option::of(prop::collection::vec(next, 1..=3));
    let slack = prop_oneof![3 => Just(None), 1 => (1_i64..4).prop_map(|slack| Some(grams(slack * 5_000)))];
    let cylinders = prop::collection::vec((-3_i64..4).prop_map(|height| height * 10_000), CYLINDERS);
    let limits =
        (prop_oneof![Just(0_i64), 960_000_i64..1_040_000], prop_oneof![Just(1_000_000_i64), 8_000_i64..30_000]);
    ((pistons, rods, heads, cylinders), (fit, goal, slack), then, limits).prop_map(
        |((pistons, rods, heads, cylinders), (fit, (goal, by), slack), then, (least_gap, widest_mass))| {
            let mut block = Block {
                pistons,
                rods,
                heads,
                gaskets: [None; 2],
                cylinders,
                with_rods: true,
                first: Vec::new(),
                spend: None,
                aim: Aim { fit, goal, by, slack },
                then,
                least_gap,
                widest_mass,
            };
            // No two parts of a kind stand in one place.
            let mut seen = [[false; CYLINDERS]; 2];
            for (kind, pieces) in [&mut block.pistons, &mut block.rods].into_iter().enumerate() {
                for piece in pieces {
                    piece.at = piece.at.filter(|&at| !std::mem::replace(&mut seen[kind][at], true));
                }
            }
            let mut taken = [false; 2];
            for head in &mut block.heads {
                head.1 = head.1.filter(|&at| !std::mem::replace(&mut taken[at], true));
            }
            block
        },
    )
}

/// The same with parts that are there already among those to be bought, and with what they may cost before the aim or in all.
pub(crate) fn bought() -> impl Strategy<Value = Block> {
    let next = prop_oneof![3 => Just(Next::Price), 2 => Just(Next::Bought), 1 => Just(Next::Moves)];
    let first = prop::collection::vec(next, 0..=2);
    let prices = prop::collection::vec(prop::option::of(1_i64..6), 15);
    let spend = prop::option::of(0_i64..22);
    (block(), first, prices, spend, prop::bool::weighted(0.6)).prop_map(
        |(mut block, mut first, prices, spend, with_rods)| {
            let parts = block.pistons.iter_mut().chain(&mut block.rods).map(|piece| &mut piece.price);
            let all = parts.chain(block.heads.iter_mut().map(|head| &mut head.0)).chain(&mut block.gaskets);
            all.zip(prices).for_each(|(price, known)| *price = known);
            first.dedup();
            Block { with_rods, first, spend, ..block }
        },
    )
}
