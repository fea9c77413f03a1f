//! Effective degrees of freedom where several estimated variances add up.

use super::Dof;

/// Effective degrees of freedom of a sum of independent variances, by Welch and Satterthwaite:
/// `(Σ v_k)² / Σ (v_k² / ν_k)` over the sources `(v_k, ν_k)`.
///
/// A source with infinite degrees of freedom (a known variance) adds to the sum only. No source, or a sum of 0, gives infinity.
///
/// # References
/// JCGM 100:2008 (GUM), G.4.1, formula G.2b.
pub fn welch_satterthwaite(sources: &[(f64, Dof)]) -> Dof {
    let total: f64 = sources.iter().map(|(variance, _)| variance).sum();
    if total <= 0.0 {
        return Dof::INFINITE;
    }
    // Shares instead of variances: the squares of very small or very large variances would leave the range of a float.
    let inverse: f64 = sources.iter().map(|(variance, dof)| (variance / total).powi(2) / dof.value()).sum();
    Dof::new(1.0 / inverse).unwrap_or(Dof::INFINITE)
}

#[cfg(test)]
mod tests {
    use super::{Dof, welch_satterthwaite};

    fn dof(value: f64) -> Dof {
        Dof::new(value).unwrap()
    }

    #[test]
    fn one_source_keeps_its_own_degrees_of_freedom() {
        let found = welch_satterthwaite(&[(1e-200, dof(7.0))]);
        assert!((found.value() - 7.0).abs() < 1e-12);
    }

    #[test]
    fn equal_sources_add_theirs() {
        let found = welch_satterthwaite(&[(3.0, dof(4.0)), (3.0, dof(4.0))]);
        assert!((found.value() - 8.0).abs() < 1e-12);
    }

    #[test]
    fn a_known_variance_makes_the_sum_surer() {
        let found = welch_satterthwaite(&[(1.0, dof(5.0)), (1.0, Dof::INFINITE)]);
        assert!((found.value() - 20.0).abs() < 1e-12);
        assert_eq!(welch_satterthwaite(&[]), Dof::INFINITE);
        assert_eq!(welch_satterthwaite(&[(0.0, dof(2.0))]), Dof::INFINITE);
    }
}
