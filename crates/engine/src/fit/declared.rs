//! Declared fits: signed sums of measured columns, such as `housing − journal − upper shell − lower shell`.

use super::budget::{Budget, Composed};
use super::geometry::whole;
use super::given::{Given, Sizes, column};
use super::source::{Owner, Size};
use super::wanting::Wanting;
use super::{Cast, Seat};
use crate::job::{Columns, FitName, Job, Term};
use crate::plan::Lack;

/// `Σ times · column`, in ticks of what the columns measure.
///
/// `u² = Σ (times · u_column)²`, where terms that read one column of one part or position follow the same error: their
/// factors add up first. A column that a built-in fit reads too (`piston.diameter`) shares its error with that fit.
#[derive(Clone, Debug)]
pub(super) struct DeclaredSum {
    name: FitName,
    terms: Vec<Read>,
}

/// A term with the values that it reads.
#[derive(Clone, Debug)]
struct Read {
    of: Of,
    sizes: Sizes,
    times: i64,
}

/// Whose value a term takes at a seat.
#[derive(Clone, Copy, Debug)]
enum Of {
    /// That of the position.
    Position,
    /// That of the part in a role.
    Role(usize),
}

impl DeclaredSum {
    /// # Errors
    /// [`Lack`] that names every column without a value, and every role that nothing fills.
    pub(super) fn new(job: &Job, cast: &Cast, name: FitName) -> Result<Self, Lack> {
        let mut wanting = Wanting::default();
        let declared = job.fits.get(name).map_or(&[][..], |fit| &fit.terms);
        let terms: Vec<Read> = declared.iter().filter_map(|term| read(job, cast, term, &mut wanting)).collect();
        if terms.is_empty() && wanting.is_empty() {
            wanting.note("columns to add up");
        }
        if wanting.is_empty() { Ok(Self { name, terms }) } else { Err(wanting.lack(name)) }
    }

    /// The values of all terms at a seat; `None` where one of them was not measured.
    fn values(&self, seat: Seat) -> impl Iterator<Item = Option<(&Given, i64)>> {
        self.terms.iter().map(move |term| {
            let at = match term.of {
                Of::Position => seat.position,
                Of::Role(role) => seat.part(role)?,
            };
            Some((term.sizes.at(at)?, term.times))
        })
    }
}

/// Looks up what a term reads; notes what is wanting.
fn read(job: &Job, cast: &Cast, term: &Term, wanting: &mut Wanting) -> Option<Read> {
    let Some((of, owner, columns)) = owner(job, cast, &term.owner) else {
        wanting.note(&format!("parts or positions `{}`", term.owner));
        return None;
    };
    let sizes = column(job, columns, owner, size(job, &term.column), &term.column);
    if sizes.is_empty() {
        wanting.note(&format!("values in the column `{}` of `{}`", term.column, term.owner));
        return None;
    }
    Some(Read { of, sizes, times: term.times })
}

/// Whose columns a name means: those of a kind of position, else those of the role of that name.
fn owner<'j>(job: &'j Job, cast: &Cast, name: &str) -> Option<(Of, Owner, &'j Columns)> {
    let nth = |at: Option<usize>| u16::try_from(at.unwrap_or(usize::MAX)).unwrap_or(u16::MAX);
    if let Some(positions) = job.positions(name) {
        let owner = match name {
            "cylinder" => Owner::Cylinder,
            "valve" => Owner::Valve,
            _ => Owner::Position(nth(job.positions.iter().position(|known| known.kind == name))),
        };
        return Some((Of::Position, owner, &positions.columns));
    }
    let role = cast.called(name)?;
    let stock = job.stock(cast.kinds().nth(role)?)?;
    let owner = match stock.kind.as_str() {
        "piston" => Owner::Piston,
        "rod" => Owner::Rod,
        "head" => Owner::Head,
        "gasket" => Owner::Gasket,
        "rocker" => Owner::Rocker,
        kind => Owner::part(job, kind)?,
    };
    Some((Of::Role(role), owner, &stock.columns))
}

/// Which size a column holds: that of the built-in fits where they read it, too.
fn size(job: &Job, column: &str) -> Size {
    match column {
        "bore" => Size::Bore,
        "throw" => Size::Throw,
        "length" => Size::Length,
        "deck_height" => Size::DeckHeight,
        "compression_height" => Size::CompressionHeight,
        "diameter" => Size::Diameter,
        "mass" => Size::Mass,
        "dish" => Size::Dish,
        "crevice" => Size::Crevice,
        "recess" => Size::Recess,
        "thickness" => Size::Thickness,
        "gasket" => Size::Volume,
        "lobe_lift" => Size::LobeLift,
        "lash" => Size::Lash,
        "ratio" => Size::Ratio,
        "lift" => Size::Lift,
        "reference_lobe" => Size::ReferenceLobe,
        _ => {
            let mut terms = job.fits.declared().flat_map(|(_, fit)| &fit.terms);
            let at = terms.position(|term| term.column == column);
            Size::Named(at.and_then(|at| u16::try_from(at).ok()).unwrap_or(u16::MAX))
        }
    }
}

impl Composed for DeclaredSum {
    fn fit(&self) -> FitName {
        self.name
    }

    fn ticks(&self, seat: Seat) -> Option<i64> {
        let mut sum = Vec::with_capacity(self.terms.len());
        for value in self.values(seat) {
            let (given, times) = value?;
            sum.push((times, whole(given.value)?));
        }
        Term::sum(sum)
    }

    fn budget(&self, seat: Seat) -> Option<Budget> {
        self.values(seat).try_fold(Budget::default(), |budget, value| {
            let (given, times) = value?;
            Some(budget.with(given, times as f64 / Term::ONCE as f64))
        })
    }
}
