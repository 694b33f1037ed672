//! Values as both kinds of database keep them, and rows of them.

use crate::database::Fault;

/// One cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Value {
    /// Nothing.
    Null,
    /// A whole number.
    Number(i64),
    /// Text.
    Text(String),
    /// Bytes.
    Bytes(Vec<u8>),
}

impl From<i64> for Value {
    fn from(number: i64) -> Self {
        Self::Number(number)
    }
}

impl From<Option<i64>> for Value {
    fn from(number: Option<i64>) -> Self {
        number.map_or(Self::Null, Self::Number)
    }
}

impl From<&str> for Value {
    fn from(text: &str) -> Self {
        // PostgreSQL keeps no zero character; both kinds keep its picture instead, so that both hold the same.
        Self::Text(if text.contains('\0') { text.replace('\0', "\u{2400}") } else { text.to_owned() })
    }
}

impl From<Option<&str>> for Value {
    fn from(text: Option<&str>) -> Self {
        text.map_or(Self::Null, Self::from)
    }
}

impl From<&String> for Value {
    fn from(text: &String) -> Self {
        Self::from(text.as_str())
    }
}

impl From<&[u8]> for Value {
    fn from(bytes: &[u8]) -> Self {
        Self::Bytes(bytes.to_vec())
    }
}

/// A row of an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Row(pub(crate) Vec<Value>);

impl Row {
    fn shape<T>(column: usize, expected: &'static str) -> Result<T, Fault> {
        Err(Fault::Shape { column, expected })
    }

    /// A column's whole number.
    ///
    /// # Errors
    /// There is something else.
    pub(crate) fn number(&self, column: usize) -> Result<i64, Fault> {
        match self.0.get(column) {
            Some(Value::Number(number)) => Ok(*number),
            _ => Self::shape(column, "a whole number"),
        }
    }

    /// A column's whole number, where there is one.
    ///
    /// # Errors
    /// There is something else.
    pub(crate) fn maybe_number(&self, column: usize) -> Result<Option<i64>, Fault> {
        match self.0.get(column) {
            Some(Value::Null) => Ok(None),
            _ => self.number(column).map(Some),
        }
    }

    /// A column's text.
    ///
    /// # Errors
    /// There is something else.
    pub(crate) fn text(&self, column: usize) -> Result<String, Fault> {
        match self.0.get(column) {
            Some(Value::Text(text)) => Ok(text.clone()),
            _ => Self::shape(column, "text"),
        }
    }

    /// A column's bytes.
    ///
    /// # Errors
    /// There is something else.
    pub(crate) fn bytes(&self, column: usize) -> Result<Vec<u8>, Fault> {
        match self.0.get(column) {
            Some(Value::Bytes(bytes)) => Ok(bytes.clone()),
            _ => Self::shape(column, "bytes"),
        }
    }
}

/// The cells that a statement is given, each turned into a [`Value`].
macro_rules! given {
    ($($cell:expr),* $(,)?) => { &[$($crate::value::Value::from($cell)),*] };
}
pub(crate) use given;
