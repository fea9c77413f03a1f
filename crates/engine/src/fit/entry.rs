//! What is left of a clearance of the ledger: the reading, carried over to other parts.
//!
//! With the rise `r` of the piston (deck clearance planned less that of the parts it was read with, in the same
//! cylinder), the growth `g` of the gasket, `a = r − g`, the valve's angle α to the bore and the extra lift `l`:
//!
//! | moves | what is left |
//! | --- | --- |
//! | piston to valve, pocket | reading − a·cos α − l |
//! | piston to valve, flat | reading − a / cos α − l |
//! | piston to valve, unstated | the lesser of these two |
//! | retainer to guide, coil bind | reading − l |
//! | stated | reading + Σ sensitivity · growth |
//!
//! Where the lift at the crank angle of the reading is known, `l` is the extra lift there: with lash h it grows as the
//! whole lift does, `(there + h) · (planned − read) / (read + h)`.
//!
//! The budget is that of first order: the reading, and the difference of planned and read deck clearance, thickness and
//! lift, in which what both have in common (the same piston, the position, the same gasket, one lobe) cancels. Where the
//! surface is not stated the larger sensitivity counts on both sides.

use std::sync::Arc;

use super::budget::{Budget, Composed};
use super::cosine::cosine;
use super::deck::DeckFit;
use super::gasket::Gaskets;
use super::geometry::whole;
use super::given::{Given, Sizes, of_positions};
use super::lift::LiftFit;
use super::shift::Shift;
use super::source::{Owner, Size, Source};
use super::wanting::Wanting;
use super::{Cast, Fit, Seat};
use crate::job::{Clearance, EntryId, FitName, Job, Moves, Since, Surface, Term, Typed, VALVE};
use crate::plan::Lack;
use crate::reduction::Reduction;

/// Where the part of a kind comes from at a seat.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Comes {
    /// The part in this role of the seat.
    WithSeat(usize),
    /// This part, whatever the seat has.
    Is(usize),
    /// Nothing is known of any other: the part that it was read with.
    AsRead,
}

impl Comes {
    /// The part at a seat, or the one that it was read with; the outer `None` where the seat has no such part.
    #[expect(clippy::option_option, reason = "none there at all is another thing than none that was planned or read")]
    fn part(self, then: Option<usize>, seat: Seat) -> Option<Option<usize>> {
        match self {
            Self::WithSeat(role) => seat.part(role).map(Some),
            Self::Is(part) => Some(Some(part)),
            Self::AsRead => Some(then),
        }
    }
}

/// Where everything comes from that an entry follows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Sources {
    /// The position of the seats that the entry is about.
    pub(crate) at: usize,
    pub(crate) piston: Comes,
    pub(crate) rod: Comes,
    pub(crate) gasket: Comes,
    pub(crate) head: Comes,
    pub(crate) rocker: Comes,
    /// The valve's stated lift counts where no rocker is planned.
    pub(crate) by_stated_lift: bool,
}

/// A change besides what is planned, in nm.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Change {
    /// The piston stands so much higher.
    pub(crate) rise: i64,
    /// The gasket is so much thicker.
    pub(crate) thicker: i64,
    /// The valve lifts so much further.
    pub(crate) lift: i64,
}

/// By how much everything has grown that an entry follows, in nm.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Growth {
    pub(crate) rise: f64,
    pub(crate) thicker: f64,
    pub(crate) lift: f64,
}

/// The fits and sizes that entries follow, once for all of them.
#[derive(Clone, Debug)]
pub(crate) struct Movers<'j> {
    deck: Result<Arc<DeckFit<'j>>, Lack>,
    gaskets: Arc<Gaskets>,
    lift: Result<Arc<LiftFit>, Lack>,
    stated_lifts: Arc<Sizes>,
    lashes: Arc<Sizes>,
    crowns: &'j [(usize, i64)],
    raised: Shift,
}

/// Roles of the seats that [`Movers::deck`] is asked about.
const PISTON: usize = 0;
const ROD: usize = 1;

impl<'j> Movers<'j> {
    /// Everything with so much more of it than the parts have; what was read stays as it was.
    pub(crate) fn new(job: &'j Job, reduction: Option<&'j Reduction>, raised: Shift) -> Self {
        let of_valves = |size, name| {
            let valves = job.positions(VALVE);
            valves.map(|valves| of_positions(job, valves, (Owner::Valve, size), name, None)).unwrap_or_default()
        };
        Self {
            deck: DeckFit::new(job, &Cast::new(["piston", "rod"], []), reduction).map(Arc::new),
            gaskets: Arc::new(Gaskets::new(job, Shift::default())),
            lift: LiftFit::new(job, &Cast::new(["rocker"], [])).map(Arc::new),
            stated_lifts: Arc::new(of_valves(Size::Lift, "lift")),
            lashes: Arc::new(of_valves(Size::Lash, "lash")),
            crowns: &job.ledger.crowns,
            raised,
        }
    }

    /// Deck clearance, thickness and lift of what an entry was read with, in ticks, nothing where it does not say;
    /// `None` where one of them cannot be predicted.
    pub(crate) fn read(&self, entry: &Clearance) -> Option<Since> {
        let (mut wanting, follows) = (Wanting::default(), entry.moves.follows());
        let deck = follows.deck.then(|| deck_then(entry, self, &mut wanting)).flatten();
        let gasket = follows.gasket.then(|| gasket_then(entry, self, &mut wanting)).flatten();
        let lift = follows.lift.then(|| lift_then(EntryId::new(0), entry, self, &mut wanting)).flatten();
        let gasket = gasket.map_or(Some(0), |gasket| whole(gasket.value));
        let ticks = |known: Option<(i64, Budget)>| known.map_or(0, |(ticks, _)| ticks);
        Some(Since { deck: ticks(deck), gasket: gasket?, lift: ticks(lift) }).filter(|_| wanting.is_empty())
    }

    fn lift_of(&self, valve: usize, rocker: usize) -> Option<(i64, Budget)> {
        let seat = Seat::empty(valve).with(0, rocker);
        let lift = self.lift.as_ref().ok()?;
        Some((lift.ticks(seat)?, lift.budget(seat)?))
    }
}

/// What is left of an entry.
#[derive(Clone, Debug)]
pub(crate) struct EntryFit<'j> {
    id: EntryId,
    entry: &'j Clearance,
    sources: Sources,
    movers: Movers<'j>,
    reading: Given,
    cosine: f64,
    /// Deck clearance of what it was read with.
    deck_then: Option<(i64, Budget)>,
    gasket_then: Option<Given>,
    lift_then: Option<(i64, Budget)>,
    /// The extra lift at the reading's crank angle over the extra lift at the top.
    share: f64,
}

impl<'j> EntryFit<'j> {
    /// # Errors
    /// [`Lack`] that names everything that cannot be worked out for the parts it was read with.
    pub(crate) fn new(job: &'j Job, id: EntryId, sources: Sources, movers: Movers<'j>) -> Result<Self, Lack> {
        let mut wanting = Wanting::default();
        let fit = FitName::Entry(id);
        let Some(entry) = job.ledger.get(id) else { return Err(wanting.lack(fit)) };
        let follows = entry.moves.follows();
        let deck_then = if follows.deck { deck_then(entry, &movers, &mut wanting) } else { None };
        let gasket_then = if follows.gasket { gasket_then(entry, &movers, &mut wanting) } else { None };
        let lift_then = if follows.lift { lift_then(id, entry, &movers, &mut wanting) } else { None };
        if !wanting.is_empty() {
            return Err(wanting.lack(fit));
        }
        let own = Source::of(Owner::Entry, id.index(), Size::Reading);
        let reading = Given::typed(Typed::new(entry.reading, entry.u.map(|u| u.ticks() as f64)), own);
        let cosine = match entry.moves {
            Moves::PistonToValve { angle, .. } => cosine(angle),
            _ => 1.0,
        };
        let share = share(entry, &movers, lift_then.as_ref().map(|(lift, _)| *lift));
        Ok(Self { id, entry, sources, movers, reading, cosine, deck_then, gasket_then, lift_then, share })
    }

    /// Which entry it is.
    pub(crate) fn id(&self) -> EntryId {
        self.id
    }

    /// What is left at a seat after a change, in ticks; `None` where that cannot be predicted.
    pub(crate) fn left_after(&self, seat: Seat, change: Change) -> Option<i64> {
        let growth = self.growth(seat)?;
        let sum = |planned: f64, more: i64| planned + more as f64;
        let (rise, thicker) = (sum(growth.rise, change.rise), sum(growth.thicker, change.thicker));
        whole(self.reading.value + self.gains(Growth { rise, thicker, lift: sum(growth.lift, change.lift) }))
    }

    /// By how much everything has grown at a seat since it was read; `None` where that cannot be predicted.
    pub(crate) fn growth(&self, seat: Seat) -> Option<Growth> {
        if !self.is_about(seat) {
            return None;
        }
        let (since, raised) = (self.entry.since, self.movers.raised);
        let rise = match (&self.deck_then, self.deck_seat(seat)?) {
            (Some((then, _)), Some(now)) => {
                let deck = self.movers.deck.as_ref().ok()?;
                deck.ticks(now)? - then + self.off_crown(now) + since.deck + raised.deck
            }
            _ => since.deck + raised.deck,
        };
        let thicker = match (&self.gasket_then, self.gasket(seat)?) {
            (Some(then), Some(now)) => now.value - then.value,
            _ => 0.0,
        };
        let lift = match (&self.lift_then, self.lift(seat)?) {
            (Some((then, _)), Some((now, _))) => now - then + since.lift,
            _ => since.lift,
        };
        let thicker = thicker + (since.gasket + raised.gasket) as f64;
        Some(Growth { rise: rise as f64, thicker, lift: lift as f64 })
    }

    /// What was cut off the crown of the piston at a seat, unless the valve comes near that very crown.
    fn off_crown(&self, own: Seat) -> i64 {
        if matches!(self.entry.moves, Moves::PistonToValve { surface: Some(Surface::Flat), .. }) {
            return 0;
        }
        let cuts = self.movers.crowns.iter().filter(|(piston, _)| own.part(PISTON) == Some(*piston));
        cuts.map(|(_, by)| by).sum()
    }

    /// The lift of the valve at a seat, where it is known: as planned, else as it was read.
    pub(crate) fn lift_at(&self, seat: Seat) -> Option<i64> {
        let planned = self.lift(seat)?.map(|(lift, _)| lift);
        planned.or(self.lift_then.as_ref().map(|(lift, _)| lift + self.entry.since.lift))
    }

    /// The thickness of the gasket at a seat, where it is known.
    pub(crate) fn thickness_at(&self, seat: Seat) -> Option<f64> {
        let planned = self.gasket(seat)?.map(|given| given.value);
        planned.or(self.gasket_then.as_ref().map(|then| then.value))
    }

    /// How much of a growth it gains, by this much of everything.
    fn gains(&self, growth: Growth) -> f64 {
        let stated = |times: i64, growth: f64| times as f64 / Term::ONCE as f64 * growth;
        match self.entry.moves {
            Moves::PistonToValve { surface, .. } => {
                let nearer = growth.rise - growth.thicker;
                let (pocket, flat) = (nearer * self.cosine, nearer / self.cosine);
                let loss = match surface {
                    Some(Surface::Pocket) => pocket,
                    Some(Surface::Flat) => flat,
                    None => pocket.max(flat),
                };
                -loss - self.share * growth.lift
            }
            Moves::RetainerToGuide | Moves::CoilBind => -growth.lift,
            Moves::Stated { deck, gasket, lift } => {
                stated(deck, growth.rise) + stated(gasket, growth.thicker) + self.share * stated(lift, growth.lift)
            }
        }
    }

    /// What it gains of a growth of one of deck clearance, gasket thickness and lift.
    fn sensitivities(&self) -> [f64; 3] {
        let stated = |times: i64| times as f64 / Term::ONCE as f64;
        match self.entry.moves {
            Moves::PistonToValve { surface, .. } => {
                let nearer = if surface == Some(Surface::Pocket) { self.cosine } else { 1.0 / self.cosine };
                [-nearer, nearer, -self.share]
            }
            Moves::RetainerToGuide | Moves::CoilBind => [0.0, 0.0, -1.0],
            Moves::Stated { deck, gasket, lift } => [stated(deck), stated(gasket), self.share * stated(lift)],
        }
    }

    /// Whether it can be carried over to a seat: it is about another position, or was read with another head.
    fn is_about(&self, seat: Seat) -> bool {
        seat.position == self.sources.at && !self.has_another_head(seat)
    }

    /// Whether a seat has another head than the entry was read with.
    pub(crate) fn has_another_head(&self, seat: Seat) -> bool {
        let planned = self.sources.head.part(self.entry.read_with.head, seat).flatten();
        self.entry.read_with.head.is_some_and(|then| planned.is_some_and(|planned| planned != then))
    }

    /// The seat in terms of piston and rod alone; the inner `None` where the entry does not say which it was read with.
    #[expect(clippy::option_option, reason = "nothing changed is another thing than not known")]
    fn deck_seat(&self, seat: Seat) -> Option<Option<Seat>> {
        let Sources { piston, rod, .. } = self.sources;
        let then = &self.entry.read_with;
        if self.deck_then.is_none() {
            return Some(None);
        }
        let piston = piston.part(then.piston, seat)??;
        let own = Seat::empty(self.entry.cylinder?).with(PISTON, piston);
        // A seat without a rod is one that the deck clearance knows how to take.
        let rod = rod.part(then.rod, seat).flatten();
        Some(Some(rod.map_or(own, |rod| own.with(ROD, rod))))
    }

    #[expect(clippy::option_option, reason = "nothing changed is another thing than not known")]
    fn gasket(&self, seat: Seat) -> Option<Option<&Given>> {
        if self.gasket_then.is_none() || self.sources.gasket == Comes::AsRead {
            return Some(None);
        }
        let gasket = self.sources.gasket.part(None, seat)??;
        self.movers.gaskets.thicknesses.at(gasket).map(Some)
    }

    #[expect(clippy::option_option, reason = "nothing changed is another thing than not known")]
    fn lift(&self, seat: Seat) -> Option<Option<(i64, Budget)>> {
        if self.lift_then.is_none() {
            return Some(None);
        }
        let valve = self.entry.valve;
        if self.sources.rocker == Comes::AsRead {
            let stated = valve.filter(|_| self.sources.by_stated_lift);
            let Some(given) = stated.and_then(|valve| self.movers.stated_lifts.at(valve)) else { return Some(None) };
            return Some(Some((whole(given.value)?, Budget::default().with(given, 1.0))));
        }
        let rocker = self.sources.rocker.part(None, seat)??;
        self.movers.lift_of(valve?, rocker).map(Some)
    }
}

/// Deck clearance with the parts that it was read with.
fn deck_then(entry: &Clearance, movers: &Movers<'_>, wanting: &mut Wanting) -> Option<(i64, Budget)> {
    let piston = entry.read_with.piston?;
    let then = (|| {
        let seat = Seat::empty(entry.cylinder?).with(PISTON, piston);
        let seat = entry.read_with.rod.map_or(seat, |rod| seat.with(ROD, rod));
        let deck = movers.deck.as_ref().ok()?;
        Some((deck.as_measured(seat)?, deck.budget(seat)?))
    })();
    let lack = movers.deck.as_ref().err().map_or_else(String::new, |lack| format!(": {}", lack.what));
    wanting.need(then, &format!("the deck clearance with the piston that it was read with{lack}"))
}

fn gasket_then(entry: &Clearance, movers: &Movers<'_>, wanting: &mut Wanting) -> Option<Given> {
    let thickness = movers.gaskets.thicknesses.at(entry.read_with.gasket?).copied();
    wanting.need(thickness, "the `thickness` of the gasket that it was read with")
}

/// Lift with the rocker that it was read with, or as stated.
fn lift_then(id: EntryId, entry: &Clearance, movers: &Movers<'_>, wanting: &mut Wanting) -> Option<(i64, Budget)> {
    if let Some(lift) = entry.read_with.lift {
        let own = Source::of(Owner::Entry, id.index(), Size::Lift);
        let given = Given::typed(Typed::new(lift, None), own);
        return Some((lift.ticks(), Budget::default().with(&given, 1.0)));
    }
    let rocker = entry.read_with.rocker?;
    let then = entry.valve.and_then(|valve| movers.lift_of(valve, rocker));
    let lack = movers.lift.as_ref().err().map_or_else(String::new, |lack| format!(": {}", lack.what));
    wanting.need(then, &format!("the lift with the rocker that it was read with{lack}"))
}

/// The extra lift at the reading's crank angle over that at the top; 1 where the lift there is not known.
fn share(entry: &Clearance, movers: &Movers<'_>, lift: Option<i64>) -> f64 {
    let share = || {
        let there = entry.read_with.lift_there?.ticks() as f64;
        let lash = entry.valve.and_then(|valve| movers.lashes.at(valve)).map_or(0.0, |lash| lash.value);
        Some((there + lash) / (lift? as f64 + lash))
    };
    share().map_or(1.0, |share| share.clamp(0.0, 1.0))
}

impl Composed for EntryFit<'_> {
    fn fit(&self) -> FitName {
        FitName::Entry(self.id)
    }

    fn ticks(&self, seat: Seat) -> Option<i64> {
        self.left_after(seat, Change::default())
    }

    fn budget(&self, seat: Seat) -> Option<Budget> {
        let [by_deck, by_gasket, by_lift] = self.sensitivities();
        let mut budget = Budget::default().with(&self.reading, 1.0);
        if let (Some((_, then)), Some(now)) = (&self.deck_then, self.deck_seat(seat)?) {
            let deck = self.movers.deck.as_ref().ok()?;
            budget = budget.with_all(&deck.budget(now)?, by_deck).with_all(then, -by_deck);
        }
        if let (Some(then), Some(now)) = (&self.gasket_then, self.gasket(seat)?) {
            budget = budget.with(now, by_gasket).with(then, -by_gasket);
        }
        if let (Some((_, then)), Some((_, now))) = (&self.lift_then, self.lift(seat)?) {
            budget = budget.with_all(&now, by_lift).with_all(then, -by_lift);
        }
        Some(budget)
    }

    fn concerns(&self, seat: Seat) -> bool {
        self.is_about(seat)
    }

    fn reduction(&self) -> Option<&Reduction> {
        self.movers.deck.as_ref().ok()?.reduction()
    }
}

/// What is left of an entry as any other fit.
pub(crate) fn boxed<'j>(entry: EntryFit<'j>) -> Box<dyn Fit + 'j> {
    Box::new(entry)
}
