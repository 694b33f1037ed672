//! Networks as a sum of exponentials.

use crate::refusal::{Refusal, not_negative, positive, within};

/// One term: a resistance and its time constant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Term {
    /// Resistance in kelvin per watt.
    pub resistance_k_w: f64,
    /// Time constant in seconds.
    pub time_constant_s: f64,
}

/// Rise for one watt at a time: `sum R (1 - exp(-t / tau))`.
///
/// # Errors
/// A negative time, or a term that is not above zero.
pub fn step_response_k_w(terms: &[Term], time_s: f64) -> Result<f64, Refusal> {
    not_negative("time", time_s)?;
    checked(terms)?;
    Ok(terms.iter().map(|term| -term.resistance_k_w * (-time_s / term.time_constant_s).exp_m1()).sum())
}

/// Whether every term is good.
///
/// # Errors
/// No terms, or one that is not above zero.
pub fn checked(terms: &[Term]) -> Result<(), Refusal> {
    within("terms", terms.len() as f64, !terms.is_empty(), "at least one")?;
    for term in terms {
        positive("resistance", term.resistance_k_w)?;
        positive("time constant", term.time_constant_s)?;
    }
    Ok(())
}
