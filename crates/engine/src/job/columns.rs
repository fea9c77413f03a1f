//! Measured columns of a stock or a positions file.

use crate::quantity::Amount;

/// One measured column: a value a row, where one was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Column {
    /// The name without its unit: `diameter`, `u_diameter`.
    pub name: String,
    /// A value for every row of the file, in file order.
    pub values: Vec<Option<Amount>>,
}

/// The measured columns of one file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Columns(Vec<Column>);

impl Columns {
    /// Collects columns; every column has a value (or a gap) for every row.
    #[must_use]
    pub fn new(columns: Vec<Column>) -> Self {
        Self(columns)
    }

    /// The column called `name`.
    #[must_use]
    pub fn named(&self, name: &str) -> Option<&Column> {
        self.0.iter().find(|column| column.name == name)
    }

    /// The value in `row` of the column called `name`.
    #[must_use]
    pub fn value(&self, name: &str, row: usize) -> Option<Amount> {
        self.named(name)?.values.get(row).copied().flatten()
    }

    /// All columns, in file order.
    pub fn iter(&self) -> impl Iterator<Item = &Column> {
        self.0.iter()
    }

    /// Standard uncertainty of the value in `row` of `name`, in ticks: `u_NAME` where typed, else
    /// `stated`, and never less than what rounding to the typed decimals leaves,
    /// `step / √12` (a rectangular distribution, JCGM 100:2008 F.2.2.1).
    ///
    /// ```
    /// use pairwright_engine::job::{Column, Columns};
    /// use pairwright_engine::quantity::{Amount, Unit};
    /// let diameter = Amount::new(100_000_000, Unit::Millimetre, 2);
    /// let columns = Columns::new(vec![Column { name: "diameter".into(), values: vec![Some(diameter)] }]);
    /// let floor = columns.uncertainty("diameter", 0, None).expect("a value is there");
    /// assert!((floor - 10_000.0 / 12_f64.sqrt()).abs() < 1e-9);
    /// assert_eq!(columns.uncertainty("diameter", 0, Some(5_000.0)), Some(5_000.0));
    /// ```
    #[must_use]
    pub fn uncertainty(&self, name: &str, row: usize, stated: Option<f64>) -> Option<f64> {
        let value = self.value(name, row)?;
        let floor = value.typed_step() / 12_f64.sqrt();
        let typed = self.value(&format!("u_{name}"), row).map(|u| u.ticks() as f64);
        Some(typed.or(stated).unwrap_or(0.0).max(floor))
    }
}
