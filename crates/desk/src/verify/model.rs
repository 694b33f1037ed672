//! One model that a case file can name, and reading its inputs.

use serde_json::{Map, Value};

/// A model: its name in case files, and the function that computes it.
pub struct Model {
    /// Name in case files.
    pub name: &'static str,
    /// Computes the outputs, by name, from the inputs.
    pub run: fn(&Inputs<'_>) -> Result<Map<String, Value>, ModelError>,
}

/// Why a model gave no outputs.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ModelError {
    /// An input the model needs is not in the case.
    #[error("input \"{name}\" is missing")]
    Missing {
        /// Input.
        name: String,
    },
    /// An input of the wrong kind.
    #[error("input \"{name}\" is not {expected}")]
    WrongKind {
        /// Input.
        name: String,
        /// What it should be.
        expected: &'static str,
    },
    /// A file named by an input could not be read.
    #[error("cannot read \"{path}\": {reason}")]
    File {
        /// Path as written in the case.
        path: String,
        /// What the system said.
        reason: String,
    },
    /// The model refused the inputs.
    #[error("{0}")]
    Refused(String),
}

impl From<physics::refusal::Refusal> for ModelError {
    fn from(refusal: physics::refusal::Refusal) -> Self {
        Self::Refused(refusal.to_string())
    }
}

/// The inputs of one case.
pub struct Inputs<'a> {
    /// Inputs by name.
    pub values: &'a Map<String, Value>,
    /// Reads a file named relative to the case file.
    pub read: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
}

impl Inputs<'_> {
    fn value(&self, name: &str) -> Result<&Value, ModelError> {
        self.values.get(name).ok_or_else(|| ModelError::Missing { name: name.to_owned() })
    }

    /// Whether the case gives this input.
    pub fn has(&self, name: &str) -> bool {
        self.values.contains_key(name)
    }

    /// A number.
    ///
    /// # Errors
    /// The input is missing or no number.
    pub fn number(&self, name: &str) -> Result<f64, ModelError> {
        let wrong = ModelError::WrongKind { name: name.to_owned(), expected: "a number" };
        self.value(name)?.as_f64().ok_or(wrong)
    }

    /// A list of numbers.
    ///
    /// # Errors
    /// The input is missing or no list of numbers.
    pub fn numbers(&self, name: &str) -> Result<Vec<f64>, ModelError> {
        let wrong = ModelError::WrongKind { name: name.to_owned(), expected: "a list of numbers" };
        let list = self.value(name)?.as_array().ok_or_else(|| wrong.clone())?;
        list.iter().map(|item| item.as_f64().ok_or_else(|| wrong.clone())).collect()
    }

    /// A word.
    ///
    /// # Errors
    /// The input is missing or no text.
    pub fn text(&self, name: &str) -> Result<&str, ModelError> {
        let wrong = ModelError::WrongKind { name: name.to_owned(), expected: "a text" };
        self.value(name)?.as_str().ok_or(wrong)
    }

    /// The bytes of a file that an input names.
    ///
    /// # Errors
    /// The input is missing or no text, or the file cannot be read.
    pub fn file(&self, name: &str) -> Result<Vec<u8>, ModelError> {
        let path = self.text(name)?;
        (self.read)(path).map_err(|reason| ModelError::File { path: path.to_owned(), reason })
    }
}

/// Collects named outputs.
///
/// # Example
/// ```
/// use desk::verify::model::outputs;
/// let out = outputs([("gap_m", 1e-5.into())]);
/// assert_eq!(out["gap_m"], 1e-5);
/// ```
pub fn outputs<const N: usize>(named: [(&str, Value); N]) -> Map<String, Value> {
    named.into_iter().map(|(name, value)| (name.to_owned(), value)).collect()
}
