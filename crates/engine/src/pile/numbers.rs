//! Parts by their numbers.

/// Parts, each known by the same few numbers: its effect, and where limits ask for them its mass, its diameter.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Numbers {
    width: usize,
    cells: Vec<f64>,
}

impl Numbers {
    /// Parts of one number each.
    pub const fn single(parts: Vec<f64>) -> Self {
        Self { width: 1, cells: parts }
    }

    /// Parts of `N` numbers each.
    pub fn rows<const N: usize>(parts: &[[f64; N]]) -> Self {
        Self { width: N, cells: parts.concat() }
    }

    /// No parts yet, of so many numbers each.
    pub(super) const fn none(width: usize) -> Self {
        Self { width, cells: Vec::new() }
    }

    pub(super) fn push(&mut self, numbers: impl IntoIterator<Item = f64>) {
        self.cells.extend(numbers);
    }

    /// How many parts there are.
    pub fn len(&self) -> usize {
        self.cells.len().checked_div(self.width).unwrap_or(0)
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    /// How many numbers a part has.
    pub const fn width(&self) -> usize {
        self.width
    }

    /// The parts, one after the other.
    pub fn parts(&self) -> impl Iterator<Item = &[f64]> {
        self.cells.chunks_exact(self.width.max(1))
    }

    /// One number of every part.
    pub(super) fn column(&self, number: usize) -> Vec<f64> {
        self.parts().filter_map(|part| part.get(number)).copied().collect()
    }

    pub(super) fn part(&self, index: usize) -> &[f64] {
        let from = index * self.width;
        self.cells.get(from..from + self.width).unwrap_or(&[])
    }

    /// The first number that is none, with its part.
    pub(super) fn broken(&self) -> Option<(usize, f64)> {
        let at = self.cells.iter().position(|value| !value.is_finite())?;
        Some((at / self.width.max(1), self.cells[at]))
    }
}
