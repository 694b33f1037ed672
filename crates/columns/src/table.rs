//! A table as a value.

/// What a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Numbers with a fraction.
    Numbers,
    /// Whole numbers.
    Whole,
    /// Text.
    Words,
    /// Yes or no.
    YesNo,
}

impl Kind {
    /// The word that is printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Numbers => "numbers",
            Self::Whole => "whole numbers",
            Self::Words => "words",
            Self::YesNo => "yes or no",
        }
    }
}

/// The cells of a column; an unknown cell is none.
#[derive(Debug, Clone, PartialEq)]
pub enum Values {
    /// Numbers with a fraction; never NaN when they were read, and a NaN is written as unknown.
    Numbers(Vec<Option<f64>>),
    /// Whole numbers.
    Whole(Vec<Option<i64>>),
    /// Text.
    Words(Vec<Option<String>>),
    /// Yes or no.
    YesNo(Vec<Option<bool>>),
}

impl Values {
    /// No cells yet, of a kind.
    pub const fn none(kind: Kind) -> Self {
        match kind {
            Kind::Numbers => Self::Numbers(Vec::new()),
            Kind::Whole => Self::Whole(Vec::new()),
            Kind::Words => Self::Words(Vec::new()),
            Kind::YesNo => Self::YesNo(Vec::new()),
        }
    }

    /// What they are.
    pub const fn kind(&self) -> Kind {
        match self {
            Self::Numbers(_) => Kind::Numbers,
            Self::Whole(_) => Kind::Whole,
            Self::Words(_) => Kind::Words,
            Self::YesNo(_) => Kind::YesNo,
        }
    }

    /// How many cells.
    pub fn len(&self) -> usize {
        match self {
            Self::Numbers(cells) => cells.len(),
            Self::Whole(cells) => cells.len(),
            Self::Words(cells) => cells.len(),
            Self::YesNo(cells) => cells.len(),
        }
    }

    /// Whether there is no cell.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }
}

/// A column with its name.
#[derive(Debug, Clone, PartialEq)]
pub struct Column {
    /// Its name.
    pub name: String,
    /// Its cells.
    pub values: Values,
}

/// A column of a file that cannot be a column here.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LeftOut {
    /// Its name, with the names above it where it is nested.
    pub name: String,
    /// Why.
    pub reason: String,
}

/// A table: columns of equal length, and notes about all of it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Notes: a key and what it says, in their order.
    pub notes: Vec<(String, String)>,
    /// Columns, in their order.
    pub columns: Vec<Column>,
}

impl Table {
    /// The cells of the column of a name.
    pub fn column(&self, name: &str) -> Option<&Values> {
        self.columns.iter().find(|column| column.name == name).map(|column| &column.values)
    }

    /// How many rows: those of its longest column.
    pub fn rows(&self) -> usize {
        self.columns.iter().map(|column| column.values.len()).max().unwrap_or(0)
    }

    /// What a note says.
    pub fn note(&self, key: &str) -> Option<&str> {
        self.notes.iter().find(|(name, _)| name == key).map(|(_, text)| text.as_str())
    }
}
