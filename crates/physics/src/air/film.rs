//! Film coefficient of a face in moving or still air.

use crate::refusal::{Refusal, not_negative, positive, within};

/// The air over a face.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Temperature in degrees Celsius.
    pub celsius: f64,
    /// Speed along the face.
    pub speed_m_s: f64,
    /// Density over that at sea level.
    pub density_ratio: f64,
}

impl Air {
    /// The air, if it can be met where machines stand.
    ///
    /// # Errors
    /// Outside -40 °C to 120 °C, 0 to 30 m/s, or a density that is not above zero.
    pub fn checked(self) -> Result<Self, Refusal> {
        let mild = (-40.0..=120.0).contains(&self.celsius);
        within("air temperature", self.celsius, mild, "between -40 °C and 120 °C")?;
        not_negative("air speed", self.speed_m_s)?;
        within("air speed", self.speed_m_s, self.speed_m_s <= 30.0, "at most 30 m/s")?;
        positive("air density", self.density_ratio)?;
        Ok(self)
    }
}

/// Conductivity of air near 330 K, in W/(m K).
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, table A.4; from memory.
const CONDUCTIVITY_W_MK: f64 = 0.0285;
/// Kinematic viscosity near 330 K at sea level, in m2/s; the same table.
const VISCOSITY_M2_S: f64 = 1.89e-5;
/// Prandtl number near 330 K; the same table.
const PRANDTL: f64 = 0.703;
/// Gravity over the film temperature of about 330 K, in m/(s2 K).
const BUOYANCY_M_S2K: f64 = 9.806_65 / 330.0;
/// Stefan-Boltzmann constant in W/(m2 K4); CODATA 2018.
const RADIATION_W_M2K4: f64 = 5.670_374_419e-8;

/// Film coefficient of a face `length_m` long that is `rise_k` warmer than the air, radiation included,
/// in W/(m2 K).
///
/// # Model
/// Laminar flat plate, mean over its length, `Nu = 0.664 Re^(1/2) Pr^(1/3)`; standing plate in still
/// air, `Nu = 0.59 Ra^(1/4)`; both together as the cube root of the sum of cubes; plus radiation to
/// surroundings at the air's temperature, `4 e s Tm^3`. Properties of air at 330 K; density enters
/// Re and Ra. Left out: turbulence (Re stays below 5e5 inside a case), shadowing by neighbours.
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, eqs. 7.30 and 9.24; S. W. Churchill, A
/// comprehensive correlating equation for laminar, assisting, forced and free convection, AIChE J. 23
/// (1977) 10-16 (exponent 3). From memory.
pub fn coefficient_w_m2k(air: &Air, length_m: f64, rise_k: f64, emissivity: f64) -> f64 {
    let rise_k = rise_k.max(0.0);
    let viscosity = VISCOSITY_M2_S / air.density_ratio;
    let reynolds = air.speed_m_s * length_m / viscosity;
    let forced = 0.664 * reynolds.sqrt() * 0.889_2;
    let rayleigh = BUOYANCY_M_S2K * rise_k * length_m.powi(3) / (viscosity * viscosity) * PRANDTL;
    let free = 0.59 * rayleigh.sqrt().sqrt();
    let mean_k = air.celsius + 273.15 + 0.5 * rise_k;
    (forced.powi(3) + free.powi(3)).cbrt() * CONDUCTIVITY_W_MK / length_m
        + 4.0 * emissivity * RADIATION_W_M2K4 * mean_k.powi(3)
}

#[cfg(test)]
mod tests {
    use super::{Air, PRANDTL, coefficient_w_m2k};

    #[test]
    fn the_cube_root_of_prandtl_is_the_constant_used() {
        assert!((PRANDTL.cbrt() - 0.889_2).abs() < 1e-4);
    }

    /// Mean of a laminar plate at Re = 40,000, Pr = 0.703: Nu = 0.664 * 200 * 0.8892 = 118.1.
    #[test]
    fn forced_alone_is_the_laminar_plate() {
        let air = Air { celsius: 30.0, speed_m_s: 7.56, density_ratio: 1.0 };
        let nusselt = coefficient_w_m2k(&air, 0.1, 0.0, 0.0) * 0.1 / 0.0285;
        assert!((nusselt - 118.1).abs() < 0.1, "{nusselt}");
    }

    #[test]
    fn more_of_each_takes_more_heat() {
        let still = Air { celsius: 30.0, speed_m_s: 0.0, density_ratio: 1.0 };
        let base = coefficient_w_m2k(&still, 0.04, 40.0, 0.9);
        assert!(coefficient_w_m2k(&Air { speed_m_s: 1.0, ..still }, 0.04, 40.0, 0.9) > base);
        assert!(coefficient_w_m2k(&Air { density_ratio: 0.8, ..still }, 0.04, 40.0, 0.9) < base);
        assert!(coefficient_w_m2k(&still, 0.04, 60.0, 0.9) > base);
        assert!(coefficient_w_m2k(&still, 0.04, 40.0, 0.1) < base);
    }
}
