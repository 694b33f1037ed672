//! Why a model refuses its inputs.

/// An input outside the range in which a model means anything.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[error("{name} is {found}, expected {expected}")]
pub struct Refusal {
    /// Which input, as the model's documentation calls it.
    pub name: &'static str,
    /// What was given.
    pub found: f64,
    /// What it should be.
    pub expected: &'static str,
}

/// The value, if it is a finite number above zero.
///
/// # Errors
/// It is not.
pub fn positive(name: &'static str, value: f64) -> Result<f64, Refusal> {
    within(name, value, value > 0.0, "a number above zero")
}

/// The value, if it is a finite number that is not below zero.
///
/// # Errors
/// It is not.
pub fn not_negative(name: &'static str, value: f64) -> Result<f64, Refusal> {
    within(name, value, value >= 0.0, "a number not below zero")
}

/// The value, if it is finite.
///
/// # Errors
/// It is not.
pub fn finite(name: &'static str, value: f64) -> Result<f64, Refusal> {
    within(name, value, true, "a finite number")
}

/// The value, if it is finite and the condition holds.
///
/// # Errors
/// It is not.
pub fn within(name: &'static str, value: f64, holds: bool, expected: &'static str) -> Result<f64, Refusal> {
    if value.is_finite() && holds { Ok(value) } else { Err(Refusal { name, found: value, expected }) }
}
