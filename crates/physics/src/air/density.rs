//! Density of the air at a height above the sea.

use crate::refusal::{Refusal, within};

/// Density of the standard atmosphere over that at sea level.
///
/// # Model
/// `(1 - L h / T0)^(g / (R L) - 1)` with L = 0.0065 K/m, T0 = 288.15 K, g = 9.80665 m/s2 and
/// R = 287.05287 J/(kg K): the troposphere. Weather and the room's own temperature are left out; they
/// change density by a few per cent.
///
/// # Source
/// ISO 2533:1975, Standard atmosphere, clause 2.
///
/// # Errors
/// A height outside -500 m to 9,000 m.
///
/// # Example
/// ```
/// let mountain = physics::air::density::ratio_at(2_000.0)?;
/// assert!((mountain - 0.8217).abs() < 1e-4);
/// # Ok::<(), physics::refusal::Refusal>(())
/// ```
pub fn ratio_at(altitude_m: f64) -> Result<f64, Refusal> {
    const LAPSE_K_M: f64 = 0.0065;
    const SEA_LEVEL_K: f64 = 288.15;
    const GRAVITY_M_S2: f64 = 9.806_65;
    const GAS_J_KGK: f64 = 287.052_87;
    let in_range = (-500.0..=9_000.0).contains(&altitude_m);
    within("altitude", altitude_m, in_range, "between -500 m and 9000 m")?;
    Ok((1.0 - LAPSE_K_M * altitude_m / SEA_LEVEL_K).powf(GRAVITY_M_S2 / (GAS_J_KGK * LAPSE_K_M) - 1.0))
}

#[cfg(test)]
mod tests {
    use super::ratio_at;

    /// Density of the 1976 standard atmosphere, the same up to 32 km, over 1.225 kg/m3 at sea level: 1.1116,
    /// 0.90912 and 0.73612 kg/m3 at 1,000, 3,000 and 5,000 m (handbook tables, from memory). Heights there
    /// are geometric, which differs by less than a thousandth.
    #[test]
    fn agrees_with_the_standards_table() {
        for (altitude_m, ratio) in [(0.0, 1.0), (1_000.0, 0.9075), (3_000.0, 0.7421), (5_000.0, 0.6009)] {
            let found = ratio_at(altitude_m).unwrap();
            assert!((found - ratio).abs() < 5e-4, "{altitude_m} m: {found}, table {ratio}");
        }
    }

    #[test]
    fn refuses_heights_without_machines() {
        assert!(ratio_at(20_000.0).is_err());
        assert!(ratio_at(f64::NAN).is_err());
    }
}
