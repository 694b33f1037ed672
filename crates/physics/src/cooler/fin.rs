//! Arrays of straight plate fins.

use crate::refusal::{Refusal, positive, within};

/// An array of equal fins on a base.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FinArray {
    /// Conductivity of the fins.
    pub conductivity_w_mk: f64,
    /// Film on fins and base.
    pub film_w_m2k: f64,
    /// Thickness of a fin.
    pub thickness_m: f64,
    /// Height of a fin from base to tip.
    pub height_m: f64,
    /// Width of a fin along the base.
    pub width_m: f64,
    /// Number of fins.
    pub fins: f64,
    /// Area of the base, fins' feet included.
    pub base_m2: f64,
}

/// How well an array carries heat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FinResult {
    /// Efficiency of one fin.
    pub fin_efficiency: f64,
    /// Efficiency of the whole surface.
    pub surface_efficiency: f64,
    /// Base to air, in kelvin per watt.
    pub resistance_k_w: f64,
}

/// Fin parameter `sqrt(2 h / (k t))`, in one over metres.
pub fn parameter_per_m(film_w_m2k: f64, conductivity_w_mk: f64, thickness_m: f64) -> f64 {
    (2.0 * film_w_m2k / (conductivity_w_mk * thickness_m)).sqrt()
}

/// Efficiency of a fin of this length with an adiabatic tip: `tanh(m L) / (m L)`.
pub fn efficiency(parameter_per_m: f64, length_m: f64) -> f64 {
    let x = parameter_per_m * length_m;
    if x < 1e-6 { 1.0 } else { x.tanh() / x }
}

/// Efficiencies and resistance of an array.
///
/// # Model
/// One-dimensional fin with the tip's heat by a corrected length `L + t/2`; the same film on fins and base.
///
/// # Source
/// F. P. Incropera et al., Fundamentals of Heat and Mass Transfer, eqs. 3.94 to 3.107; from memory.
///
/// # Errors
/// A value that is not above zero, or fins that cover more than the base.
pub fn array(array: &FinArray) -> Result<FinResult, Refusal> {
    positive("fin conductivity", array.conductivity_w_mk)?;
    positive("film coefficient", array.film_w_m2k)?;
    positive("fin thickness", array.thickness_m)?;
    positive("fin height", array.height_m)?;
    positive("fin width", array.width_m)?;
    positive("base area", array.base_m2)?;
    within("fins", array.fins, array.fins >= 1.0, "at least 1")?;
    let bare = array.base_m2 - array.fins * array.thickness_m * array.width_m;
    within("base area", array.base_m2, bare >= 0.0, "large enough for the feet of all fins")?;
    let length = array.height_m + array.thickness_m / 2.0;
    let fin_efficiency =
        efficiency(parameter_per_m(array.film_w_m2k, array.conductivity_w_mk, array.thickness_m), length);
    let fin_m2 = 2.0 * array.width_m * length;
    let total_m2 = array.fins * fin_m2 + bare;
    let surface_efficiency = 1.0 - array.fins * fin_m2 / total_m2 * (1.0 - fin_efficiency);
    Ok(FinResult {
        fin_efficiency,
        surface_efficiency,
        resistance_k_w: 1.0 / (surface_efficiency * array.film_w_m2k * total_m2),
    })
}
