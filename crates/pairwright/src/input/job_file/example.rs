//! Examples in the words of the job: nobody who fits rockers is told to place pistons.

use pairwright_engine::job::{DeclaredFits, FitName};
use pairwright_engine::quantity::Dimension;

use super::walk::Walk;

/// A kind to place: a piston where the job has pistons, or no stock at all; else the first of its own.
pub(in crate::input) fn kind<'k>(kinds: impl IntoIterator<Item = &'k str>) -> &'k str {
    let mut kinds = kinds.into_iter();
    let Some(first) = kinds.next() else { return "piston" };
    if kinds.any(|kind| kind == "piston") { "piston" } else { first }
}

/// A fit to ask for where `kind` is placed: `of_pistons` for pistons, lift for rockers, else the first that the job declares.
pub(in crate::input) fn fit<'f>(kind: &str, fits: &'f DeclaredFits, of_pistons: &'f str) -> &'f str {
    match kind {
        "piston" => of_pistons,
        "rocker" => "lift",
        _ => fits.declared().next().map_or("mass", |(_, fit)| fit.name.as_str()),
    }
}

impl Walk<'_> {
    fn example_kind(&self) -> &str {
        kind(self.kinds.iter().map(String::as_str))
    }

    /// `place = "piston"`.
    pub(super) fn place_example(&self) -> String {
        format!("place = \"{}\"", self.example_kind())
    }

    /// The name of a fit, `of_pistons` for pistons.
    pub(super) fn fit_example(&self, of_pistons: &'static str) -> String {
        fit(self.example_kind(), &self.fits, of_pistons).to_owned()
    }

    /// `limits` of `fit`, or of one that suits the job; with the number that was typed, if there is one.
    pub(super) fn limits_example(&self, fit: Option<FitName>, typed: Option<&str>) -> String {
        let fits = &self.fits;
        let fit = fit.or_else(|| fits.named(&self.fit_example("skirt"))).unwrap_or(FitName::Skirt);
        let (side, value) = match (typed, fits.dimension(fit)) {
            (Some(typed), _) => ("max", typed),
            (None, _) if fit == FitName::Lift => ("max", "\"12 mm\""),
            (None, Dimension::Length) => ("min", "\"0.05 mm\""),
            (None, Dimension::Volume) => ("max", "\"60 cc\""),
            (None, Dimension::Mass) => ("max", "\"600 g\""),
            (None, Dimension::Ratio | Dimension::Money) => ("max", "10.6"),
        };
        format!("limits = {{ {} = {{ {side} = {value} }} }}", fits.name(fit))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pistons_stand_in_examples_where_there_are_pistons_or_nothing_is_known() {
        assert_eq!(kind([]), "piston");
        assert_eq!(kind(["rod", "piston"]), "piston");
        assert_eq!(kind(["shim", "rod"]), "shim");
        let none = DeclaredFits::default();
        assert_eq!(["piston", "rocker", "spring"].map(|kind| fit(kind, &none, "deck")), ["deck", "lift", "mass"]);
    }
}
