//! The thickness a filled paste keeps under a pressure, by the published scaling law.

use crate::refusal::{Refusal, positive};

/// Thickness of the joint: `1.31e-4 (Y / P)^0.166` metres.
///
/// # Model
/// Empirical: filler grains stop the gap long before the continuum would. There is no grain size in it;
/// do not extrapolate it.
///
/// # Source
/// R. S. Prasher et al., J. Heat Transfer 125(6), 1170-1177, 2003; constants from memory.
///
/// # Errors
/// A value that is not above zero.
pub fn thickness_m(yield_stress_pa: f64, pressure_pa: f64) -> Result<f64, Refusal> {
    positive("yield stress", yield_stress_pa)?;
    positive("pressure", pressure_pa)?;
    Ok(1.31e-4 * (yield_stress_pa / pressure_pa).powf(0.166))
}
