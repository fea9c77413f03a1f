//! Factors of Student's t, kept because most pairs share their degrees of freedom.

use std::sync::{Mutex, PoisonError};

use crate::statistics::{Dof, Risk, t_upper_quantile};

/// The factor `t(1 − risk, ν)` for one risk and any degrees of freedom.
#[derive(Debug)]
pub struct Factor {
    risk: Risk,
    known: Mutex<Vec<(Dof, f64)>>,
}

/// So many are kept; more would be searched longer than computed.
const KEPT: usize = 64;

impl Factor {
    /// The factor for `risk` on one side.
    #[must_use]
    pub fn new(risk: Risk) -> Self {
        Self { risk, known: Mutex::default() }
    }

    /// `t(1 − risk, dof)`.
    ///
    /// ```
    /// use pairwright_engine::limit::Factor;
    /// use pairwright_engine::statistics::{Dof, Risk};
    /// let factor = Factor::new(Risk::ONE_IN_40);
    /// assert!((factor.at(Dof::INFINITE) - 1.96).abs() < 0.001);
    /// ```
    #[must_use]
    pub fn at(&self, dof: Dof) -> f64 {
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, factor)) = known.iter().find(|(kept, _)| *kept == dof) {
            return *factor;
        }
        let factor = t_upper_quantile(self.risk, dof);
        if known.len() < KEPT {
            known.push((dof, factor));
        }
        factor
    }
}
