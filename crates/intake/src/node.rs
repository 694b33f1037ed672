//! A file's content as a tree in which every value knows its place.

use core::ops::Range;
use std::collections::BTreeMap;

use quantity::reading::Origin;

/// A value with its place.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Bytes of the file.
    pub span: Range<usize>,
    /// The value.
    pub value: Value,
    /// Origin of a value that was merged in from elsewhere; none for the reader's own default.
    pub origin: Option<Origin>,
}

/// A value.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Text.
    Text(String),
    /// One cell of a table of parts, in which a list is separated by `;`.
    Cell(String),
    /// Whole number.
    Whole(i64),
    /// Any other number.
    Number(f64),
    /// Yes or no.
    Truth(bool),
    /// Day or time, as written.
    Moment(String),
    /// List.
    List(Vec<Node>),
    /// Table.
    Table(Table),
}

/// A table: its values by name, with the place of each name.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// Values.
    pub entries: BTreeMap<String, (Range<usize>, Node)>,
}

impl Value {
    /// A plain value as text; empty for a list or a table.
    pub fn scalar(&self) -> String {
        match self {
            Self::Text(text) | Self::Cell(text) | Self::Moment(text) => text.clone(),
            Self::Whole(number) => number.to_string(),
            Self::Number(number) => number.to_string(),
            Self::Truth(truth) => truth.to_string(),
            Self::List(_) | Self::Table(_) => String::new(),
        }
    }

    /// What it is, for a message.
    pub const fn kind(&self) -> &'static str {
        match self {
            Self::Text(_) | Self::Cell(_) => "a text",
            Self::Whole(_) => "a whole number",
            Self::Number(_) => "a number",
            Self::Truth(_) => "true or false",
            Self::Moment(_) => "a date",
            Self::List(_) => "a list",
            Self::Table(_) => "a table",
        }
    }
}

impl Table {
    /// This table with the other's values put over its own, table by table; they get this origin.
    pub fn overlaid(&self, other: &Self, origin: Origin) -> Self {
        let mut merged = self.clone();
        for (name, (key_span, node)) in &other.entries {
            let new = match (merged.entries.get(name).map(|(_, old)| &old.value), &node.value) {
                (Some(Value::Table(old)), Value::Table(new)) => Node {
                    span: node.span.clone(),
                    value: Value::Table(old.overlaid(new, origin)),
                    origin: None,
                },
                (None, Value::Table(new)) => Node {
                    span: node.span.clone(),
                    value: Value::Table(Self::default().overlaid(new, origin)),
                    origin: None,
                },
                _ => Node { origin: Some(origin), ..node.clone() },
            };
            merged.entries.insert(name.clone(), (key_span.clone(), new));
        }
        merged
    }
}
