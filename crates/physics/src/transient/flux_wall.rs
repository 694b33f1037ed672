//! A wall heated on one face and cooled through a film on the other.

use crate::refusal::{Refusal, not_negative, positive};
use crate::transient::roots::wall_roots;

/// A wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Wall {
    /// Conductivity.
    pub conductivity_w_mk: f64,
    /// Density.
    pub density_kg_m3: f64,
    /// Specific heat.
    pub specific_heat_j_kgk: f64,
    /// Thickness.
    pub thickness_m: f64,
    /// Film on the cooled face.
    pub film_w_m2k: f64,
}

/// Rises of a wall's faces in kelvin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rises {
    /// Of the heated face.
    pub hot_k: f64,
    /// Of the cooled face.
    pub cold_k: f64,
    /// Of the heated face after a long time.
    pub steady_k: f64,
}

const TERMS: usize = 600;

/// Rises of both faces some time after the flux began.
///
/// # Model
/// `q L/k [1 - x/L + 1/Bi - sum a cos(z x/L) exp(-z^2 Fo)]`, `a = 4 / (z (2 z + sin 2 z))` with `z tan z = Bi`
/// (separation of variables).
///
/// # Errors
/// A property that is not above zero, or a negative flux or time.
pub fn rises(wall: &Wall, flux_w_m2: f64, time_s: f64) -> Result<Rises, Refusal> {
    positive("conductivity", wall.conductivity_w_mk)?;
    positive("density", wall.density_kg_m3)?;
    positive("specific heat", wall.specific_heat_j_kgk)?;
    positive("thickness", wall.thickness_m)?;
    positive("film coefficient", wall.film_w_m2k)?;
    not_negative("flux", flux_w_m2)?;
    not_negative("time", time_s)?;
    let l = wall.thickness_m;
    let biot = wall.film_w_m2k * l / wall.conductivity_w_mk;
    let diffusivity = wall.conductivity_w_mk / (wall.density_kg_m3 * wall.specific_heat_j_kgk);
    let fourier = diffusivity * time_s / (l * l);
    let scale = flux_w_m2 * l / wall.conductivity_w_mk;
    let (mut hot, mut cold) = (1.0 + 1.0 / biot, 1.0 / biot);
    for z in wall_roots(biot, TERMS) {
        let term = 4.0 / (z * (2.0 * z + (2.0 * z).sin())) * (-z * z * fourier).exp();
        hot -= term;
        cold -= term * z.cos();
    }
    Ok(Rises { hot_k: scale * hot, cold_k: scale * cold, steady_k: scale * (1.0 + 1.0 / biot) })
}
