//! A thick body heated at its face from one moment on.

use core::f64::consts::PI;

use crate::refusal::{Refusal, not_negative, positive};

/// Complementary error function to about 1e-15: a series near zero, a continued fraction beyond.
///
/// # Source
/// NIST Digital Library of Mathematical Functions, 7.6.2 (series) and 7.9.1 (continued fraction).
pub fn erfc(x: f64) -> f64 {
    if x < 0.0 {
        return 2.0 - erfc(-x);
    }
    if x < 2.5 {
        let mut term = x;
        let mut sum = x;
        for n in 1..200 {
            let n = f64::from(n);
            term *= 2.0 * x * x / (2.0 * n + 1.0);
            sum += term;
            if term < 1e-18 * sum {
                break;
            }
        }
        return 1.0 - 2.0 / PI.sqrt() * (-x * x).exp() * sum;
    }
    // Backwards through the fraction x + (1/2)/(x + 1/(x + (3/2)/(x + ...))).
    let mut tail = x;
    for k in (1..=120).rev() {
        tail = x + f64::from(k) / 2.0 / tail;
    }
    (-x * x).exp() / (PI.sqrt() * tail)
}

/// Rise at a depth some time after a flux began, in kelvin.
///
/// # Model
/// `(2 q / k) sqrt(a t / pi) exp(-x^2 / (4 a t)) - (q x / k) erfc(x / (2 sqrt(a t)))`.
///
/// # Source
/// H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. 1959, section 2.9; from memory.
///
/// # Errors
/// A property or time that is not above zero, or a negative depth or flux.
pub fn rise_k(
    conductivity_w_mk: f64,
    density_kg_m3: f64,
    specific_heat_j_kgk: f64,
    flux_w_m2: f64,
    depth_m: f64,
    time_s: f64,
) -> Result<f64, Refusal> {
    positive("conductivity", conductivity_w_mk)?;
    positive("density", density_kg_m3)?;
    positive("specific heat", specific_heat_j_kgk)?;
    not_negative("flux", flux_w_m2)?;
    not_negative("depth", depth_m)?;
    positive("time", time_s)?;
    let spread = (conductivity_w_mk / (density_kg_m3 * specific_heat_j_kgk) * time_s).sqrt();
    let reach = depth_m / (2.0 * spread);
    let surface = 2.0 * flux_w_m2 / conductivity_w_mk * spread / PI.sqrt() * (-reach * reach).exp();
    Ok(surface - flux_w_m2 * depth_m / conductivity_w_mk * erfc(reach))
}
