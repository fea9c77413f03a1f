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

    /// Changes the value in `row` of the column called `name`, where there is one.
    pub fn change(&mut self, name: &str, row: usize, change: impl FnOnce(Amount) -> Amount) {
        let column = self.0.iter_mut().find(|column| column.name == name);
        if let Some(Some(value)) = column.and_then(|column| column.values.get_mut(row)) {
            *value = change(*value);
        }
    }

    /// Puts `values` under the column called `name`, in rows that follow the first `rows`; a new column has gaps above.
    fn extend(&mut self, rows: usize, name: &str, values: &[Option<Amount>]) {
        let at = self.0.iter().position(|column| column.name == name).unwrap_or_else(|| {
            self.0.push(Column { name: name.to_owned(), values: Vec::new() });
            self.0.len() - 1
        });
        self.0[at].values.resize(rows, None);
        self.0[at].values.extend_from_slice(values);
    }

    /// Appends the `more` rows of `other` to the `rows` rows that there are.
    ///
    /// ```
    /// use pairwright_engine::job::{Column, Columns};
    /// use pairwright_engine::quantity::{Amount, Unit};
    /// let gram = |mass: i64| Some(Amount::new(mass * 10_000, Unit::Gram, 0));
    /// let mut one = Columns::new(vec![Column { name: "mass".into(), values: vec![gram(500)] }]);
    /// one.append(1, &Columns::new(vec![Column { name: "price".into(), values: vec![None, gram(9)] }]), 2);
    /// assert_eq!((one.value("mass", 0), one.value("mass", 1), one.value("price", 2)), (gram(500), None, gram(9)));
    /// ```
    pub fn append(&mut self, rows: usize, other: &Self, more: usize) {
        for column in &other.0 {
            self.extend(rows, &column.name, &column.values);
        }
        for column in &mut self.0 {
            column.values.resize(rows + more, None);
        }
    }

    /// All columns, in file order.
    pub fn iter(&self) -> impl Iterator<Item = &Column> {
        self.0.iter()
    }

    /// The column called `name` with its standard uncertainties, a row a part or position: `u_NAME`
    /// where typed, else `stated`, and never less than what rounding to the typed decimals leaves,
    /// `step / √12` (a rectangular distribution, JCGM 100:2008 F.2.2.1). Empty without such a column.
    ///
    /// ```
    /// use pairwright_engine::job::{Column, Columns};
    /// use pairwright_engine::quantity::{Amount, Unit};
    /// let diameter = Amount::new(100_000_000, Unit::Millimetre, 2);
    /// let columns = Columns::new(vec![Column { name: "diameter".into(), values: vec![Some(diameter)] }]);
    /// let floor = columns.with_uncertainty("diameter", None)[0].expect("a value is there").u;
    /// assert!((floor - 10_000.0 / 12_f64.sqrt()).abs() < 1e-9);
    /// assert_eq!(columns.with_uncertainty("diameter", Some(5_000.0))[0].expect("a value is there").u, 5_000.0);
    /// ```
    #[must_use]
    pub fn with_uncertainty(&self, name: &str, stated: Option<f64>) -> Vec<Option<Typed>> {
        let Some(column) = self.named(name) else { return Vec::new() };
        let own = self.named(&format!("u_{name}"));
        let typed = |(row, value): (usize, &Option<Amount>)| {
            let own = own.and_then(|column| column.values.get(row).copied().flatten());
            value.map(|value| Typed::new(value, own.map(|u| u.ticks() as f64).or(stated)))
        };
        column.values.iter().enumerate().map(typed).collect()
    }
}

/// A typed value and its standard uncertainty, in ticks.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Typed {
    /// The value.
    pub value: i64,
    /// Its standard uncertainty.
    pub u: f64,
}

impl Typed {
    /// The value with a stated uncertainty, never less than the typed decimals leave. A bare `0` says that there is
    /// none (a flat crown has no dish): it is exact.
    #[must_use]
    pub fn new(value: Amount, stated: Option<f64>) -> Self {
        let floor = if is_nothing(value) { 0.0 } else { value.typed_step() / 12_f64.sqrt() };
        Self { value: value.ticks(), u: stated.unwrap_or(0.0).max(floor) }
    }
}

/// A zero without decimals.
fn is_nothing(value: Amount) -> bool {
    value.ticks() == 0 && value.decimals() == 0
}
