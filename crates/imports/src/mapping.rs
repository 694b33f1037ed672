//! Which column of a list is which field, and how its cells are written.

use std::collections::BTreeMap;

use quantity::day::Day;
use quantity::money::Currency;
use upgrade::part::id::{Kind, PartId};

use crate::number::Decimals;

/// How a list is read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Mapping {
    /// Kind of parts that every row is; none where a column says it, or where the library knows the parts.
    pub kind: Option<Kind>,
    /// What stands between the cells of a text file; found where none is said.
    pub separator: Option<char>,
    /// Character encoding of a text file, by a label of the WHATWG Encoding Standard; found where none is said.
    pub encoding: Option<String>,
    /// Mark before decimals; found where none is said.
    pub decimals: Option<Decimals>,
    /// Row of the headings, from one; found where none is said.
    pub heading_row: Option<u32>,
    /// Sheet of a workbook; the first where none is said.
    pub sheet: Option<String>,
    /// Day of the prices, where no column says it.
    pub day: Option<Day>,
    /// Shop of the prices, where no column says it.
    pub shop: Option<String>,
    /// Currency of prices that do not say their own.
    pub currency: Option<Currency>,
    /// Columns, by heading.
    pub columns: Vec<Column>,
    /// Fields that are the same in every row.
    pub constants: Vec<Constant>,
    /// Names of the list that are parts of the library, as a person has said.
    pub same: Vec<Same>,
}

/// One column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Heading as it stands in the list.
    pub heading: String,
    /// Field, as `sustained_power`, `cores[1].count`, `name` or `price.new`.
    pub field: String,
    /// Unit of plain numbers.
    pub unit: Option<String>,
    /// Heading of the column that names the unit.
    pub unit_heading: Option<String>,
    /// Words of the list and what they mean.
    pub words: BTreeMap<String, String>,
}

/// A field that is the same in every row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Constant {
    /// Field.
    pub field: String,
    /// Value, as a cell would say it.
    pub value: String,
}

/// A name of the list and the part that it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Same {
    /// Name as the list writes it.
    pub name: String,
    /// The part.
    pub id: PartId,
}
