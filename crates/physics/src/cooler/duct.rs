//! Fully developed laminar flow in a rectangular duct.

use core::f64::consts::PI;

use crate::refusal::{Refusal, within};

/// Friction and heat transfer on the hydraulic diameter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Duct {
    /// Fanning friction factor times Reynolds number.
    pub friction_reynolds: f64,
    /// Nusselt number with even heat flux along the duct and even temperature around it.
    pub nusselt_flux: f64,
    /// Nusselt number with even wall temperature.
    pub nusselt_temperature: f64,
}

fn polynomial(factor: f64, terms: [f64; 5], x: f64) -> f64 {
    let mut power = 1.0;
    factor
        * (1.0
            + terms
                .iter()
                .map(|term| {
                    power *= x;
                    term * power
                })
                .sum::<f64>())
}

/// Exact series of the friction factor.
///
/// # Source
/// R. K. Shah, A. L. London, Laminar Flow Forced Convection in Ducts, 1978, ch. VII.
pub fn friction_reynolds(aspect: f64) -> f64 {
    let sum: f64 = (0..200)
        .map(|idx| {
            let k = 2.0 * f64::from(idx) + 1.0;
            (k * PI / (2.0 * aspect)).tanh() / k.powi(5)
        })
        .sum();
    24.0 / ((1.0 + aspect).powi(2) * (1.0 - 192.0 / PI.powi(5) * aspect * sum))
}

/// Friction and heat transfer at a ratio of short to long side.
///
/// # Source
/// R. K. Shah, A. L. London 1978: polynomials of the Nusselt numbers (within 0.5 % of the solved duct).
///
/// # Errors
/// A ratio outside 0 to 1.
pub fn developed(aspect: f64) -> Result<Duct, Refusal> {
    within("aspect ratio", aspect, aspect > 0.0 && aspect <= 1.0, "above 0 and at most 1")?;
    Ok(Duct {
        friction_reynolds: friction_reynolds(aspect),
        nusselt_flux: polynomial(8.235, [-2.0421, 3.0853, -2.4765, 1.0578, -0.1861], aspect),
        nusselt_temperature: polynomial(7.541, [-2.610, 4.970, -5.119, 2.702, -0.548], aspect),
    })
}
