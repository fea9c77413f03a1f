//! What stands at a position, all kinds together.

use crate::job::Role;

/// The parts that meet at one position, each by its index in the stock of its role.
///
/// Roles are numbered as in [`Cast`]: those that a match places and those that stand as they are. A head or a
/// gasket that serves a whole bank is part of the seat of each of its positions.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Seat {
    /// Index of the position.
    pub position: usize,
    parts: [u32; Self::ROLES],
}

const NOTHING: u32 = u32::MAX;

impl Seat {
    /// At most so many roles meet at a position.
    pub const ROLES: usize = 6;

    /// A position where nothing stands yet.
    #[must_use]
    pub const fn empty(position: usize) -> Self {
        Self { position, parts: [NOTHING; Self::ROLES] }
    }

    /// The same seat with the part at index `part` in `role`; a role beyond [`Seat::ROLES`] changes nothing.
    ///
    /// ```
    /// use pairwright_engine::fit::Seat;
    /// let seat = Seat::empty(3).with(0, 7);
    /// assert_eq!((seat.position, seat.part(0), seat.part(1)), (3, Some(7), None));
    /// ```
    #[must_use]
    pub fn with(mut self, role: usize, part: usize) -> Self {
        if let Some(place) = self.parts.get_mut(role) {
            *place = u32::try_from(part).unwrap_or(NOTHING);
        }
        self
    }

    /// The part in `role`; `None` where nothing stands.
    #[must_use]
    pub fn part(&self, role: usize) -> Option<usize> {
        self.parts.get(role).copied().filter(|&part| part != NOTHING).map(|part| part as usize)
    }
}

/// The roles of a match, numbered: first those it places, then every other kind that the job has a stock of.
///
/// Several of the roles placed may be of one kind; what tells them apart is their name.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Cast {
    roles: Vec<Role>,
}

impl Cast {
    /// A role of each kind of `place` in order, then of `others`; no more than [`Seat::ROLES`] are kept.
    #[must_use]
    pub fn new<'k>(place: impl IntoIterator<Item = &'k str>, others: impl IntoIterator<Item = &'k str>) -> Self {
        let mut cast = Self::default();
        for kind in place.into_iter().chain(others) {
            cast.join(Role::of(kind));
        }
        cast
    }

    /// The roles of `place` in order, then one of each of the `others` that `place` does not name.
    ///
    /// ```
    /// use pairwright_engine::{fit::Cast, job::Role};
    /// let cast = Cast::of(&[Role::called("shell", "upper"), Role::called("shell", "lower")], ["shell", "cap"]);
    /// assert_eq!(cast.kinds().collect::<Vec<_>>(), ["shell", "shell", "cap"]);
    /// assert_eq!([cast.called("lower"), cast.called("cap"), cast.called("shell")], [Some(1), Some(2), None]);
    /// ```
    #[must_use]
    pub fn of<'k>(place: &[Role], others: impl IntoIterator<Item = &'k str>) -> Self {
        let mut cast = Self { roles: place.iter().take(Seat::ROLES).cloned().collect() };
        for kind in others {
            cast.join(Role::of(kind));
        }
        cast
    }

    fn join(&mut self, role: Role) {
        if self.role(&role.kind).is_none() && self.roles.len() < Seat::ROLES {
            self.roles.push(role);
        }
    }

    /// The number of the role that takes parts of `kind`, the first where several do.
    ///
    /// ```
    /// use pairwright_engine::fit::Cast;
    /// let cast = Cast::new(["piston", "head"], ["rod", "head"]);
    /// assert_eq!([cast.role("head"), cast.role("rod"), cast.role("valve")], [Some(1), Some(2), None]);
    /// ```
    #[must_use]
    pub fn role(&self, kind: &str) -> Option<usize> {
        self.roles.iter().position(|role| role.kind == kind)
    }

    /// The number of the role with this name.
    #[must_use]
    pub fn called(&self, name: &str) -> Option<usize> {
        self.roles.iter().position(|role| role.name == name)
    }

    /// The kinds, a role each.
    pub fn kinds(&self) -> impl Iterator<Item = &str> {
        self.roles.iter().map(|role| role.kind.as_str())
    }
}
