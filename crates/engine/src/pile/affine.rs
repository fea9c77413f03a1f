//! Values as sums of multiples of numbers, found from parts that are known.

use crate::statistics::Summary;

/// `offset + Σ factor · number`.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Affine {
    pub(super) offset: f64,
    /// One for each of the first numbers; the others do not count.
    pub(super) factors: Vec<f64>,
}

impl Affine {
    /// The number at this place itself.
    pub(super) fn number(place: usize) -> Self {
        let mut factors = vec![0.0; place];
        factors.push(1.0);
        Self { offset: 0.0, factors }
    }

    pub(super) fn at(&self, part: &[f64]) -> f64 {
        self.offset + self.factors.iter().zip(part).map(|(factor, number)| factor * number).sum::<f64>()
    }

    /// `offset + factor · this`.
    pub(super) fn times(&self, factor: f64, offset: f64) -> Self {
        let factors = self.factors.iter().map(|own| own * factor).collect();
        Self { offset: offset + factor * self.offset, factors }
    }
}

/// The values of parts that are known, by the columns of their numbers, where these explain them up to `tolerance`; `None` where they do not, and
/// where there are too few parts to tell.
///
/// Least squares over numbers taken about their means, one after the other made independent of those before it (Gram and Schmidt).
pub(super) fn explained(values: &[f64], columns: &[&[f64]], tolerance: f64) -> Option<Affine> {
    // As many parts as factors are always explained: some must be left that could contradict.
    if values.len() < columns.len() + 3 {
        return None;
    }
    let mut basis: Vec<(Vec<f64>, Vec<f64>)> = Vec::new();
    let mut left = centred(values);
    let mut factors = vec![0.0; columns.len()];
    for (place, column) in columns.iter().enumerate() {
        let mut direction = centred(column);
        let before = dot(&direction, &direction);
        let mut made_of = vec![0.0; columns.len()];
        made_of[place] = 1.0;
        for (known, of) in &basis {
            let share = dot(&direction, known) / dot(known, known);
            take(&mut direction, known, share);
            take(&mut made_of, of, share);
        }
        let size = dot(&direction, &direction);
        if size <= 1e-12 * before || size <= 0.0 {
            continue;
        }
        let share = dot(&left, &direction) / size;
        take(&mut left, &direction, share);
        take(&mut factors, &made_of, -share);
        basis.push((direction, made_of));
    }
    let worst = left.iter().fold(0.0_f64, |worst, residual| worst.max(residual.abs()));
    let mean = Summary::of(values).mean;
    let of_means: f64 = columns.iter().zip(&factors).map(|(column, factor)| factor * Summary::of(column).mean).sum();
    (worst <= tolerance).then_some(Affine { offset: mean - of_means, factors })
}

fn centred(values: &[f64]) -> Vec<f64> {
    let mean = Summary::of(values).mean;
    values.iter().map(|value| value - mean).collect()
}

fn dot(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

fn take(from: &mut [f64], what: &[f64], share: f64) {
    from.iter_mut().zip(what).for_each(|(from, what)| *from -= share * what);
}

#[cfg(test)]
mod tests {
    use super::{Affine, explained};

    #[test]
    fn a_sum_of_multiples_is_found_again() {
        let one = [1.0, 4.0, 2.0, 8.0, 5.0, 7.0];
        let other = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0];
        let values: Vec<f64> = one.iter().zip(&other).map(|(a, b)| 10.0 + 2.0 * a - 3.0 * b).collect();
        let found = explained(&values, &[&one, &other], 1e-9).unwrap();
        for ((value, a), b) in values.iter().zip(&one).zip(&other) {
            assert!((found.at(&[*a, *b]) - value).abs() < 1e-9);
        }
        assert!((found.factors[0] - 2.0).abs() < 1e-12 && (found.factors[1] + 3.0).abs() < 1e-12);
    }

    #[test]
    fn what_the_numbers_do_not_explain_is_not_explained() {
        let one = [1.0, 4.0, 2.0, 8.0, 5.0, 7.0];
        let other = [3.0, 1.0, 4.0, 1.0, 5.0, 9.0];
        assert_eq!(explained(&other, &[&one], 0.5), None);
        // Three parts and two factors leave nothing that could contradict.
        assert_eq!(explained(&other[..3], &[&one[..3]], 100.0), None);
        assert!(explained(&[7.0; 6], &[], 0.0).is_some());
    }

    #[test]
    fn multiples_of_a_sum_are_sums_of_multiples() {
        let own = Affine { offset: 5.0, factors: vec![2.0, 1.0] }.times(-3.0, 1.0);
        assert!((own.at(&[10.0, 4.0]) - (1.0 - 3.0 * (5.0 + 20.0 + 4.0))).abs() < 1e-12);
        assert!((Affine::number(1).at(&[10.0, 4.0]) - 4.0).abs() < 1e-12);
    }
}
