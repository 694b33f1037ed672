//! A finned cooler without a fan: air rises between its fins by itself, and the fins radiate.

use crate::cooler::fin::{FinArray, array};
use crate::cooler::sink::{Sink, air_at};
use crate::refusal::{Refusal, not_negative, positive, within};

/// Gravity in m/s2 (standard value, CGPM 1901).
const GRAVITY_M_S2: f64 = 9.806_65;
/// Stefan-Boltzmann constant in W/(m2 K4); CODATA 2018.
const RADIATION_W_M2K4: f64 = 5.670_374_419e-8;

/// Film between two upright plates of one temperature in still air, against the air that enters, in W/(m2 K).
///
/// # Units
/// Gap and length (along the rising air) in metres, rise of the plates above the air in kelvin, air in °C; density over
/// that at sea level.
///
/// # Model
/// Elenbaas' channel by the composite of Bar-Cohen and Rohsenow for plates of one temperature on both sides:
/// `Nu = (576 / Ra'^2 + 2.873 / Ra'^(1/2))^(-1/2)` with `Ra' = g b dT S^4 / (L nu a)`; properties at the mean of plate and
/// air.
///
/// # Source
/// A. Bar-Cohen, W. M. Rohsenow, Thermally optimum spacing of vertical, natural convection cooled, parallel plates,
/// J. Heat Transfer 106 (1984) 116-123; Incropera et al., eq. 9.45 and table 9.3. From memory.
pub fn channel_film_w_m2k(gap_m: f64, length_m: f64, rise_k: f64, air_c: f64, density_ratio: f64) -> f64 {
    let air = air_at(air_c + 0.5 * rise_k, density_ratio);
    let viscosity_m2_s = air.viscosity_pa_s / air.density_kg_m3;
    let diffusivity_m2_s = viscosity_m2_s / air.prandtl;
    let mean_k = air_c + 273.15 + 0.5 * rise_k;
    let rayleigh = GRAVITY_M_S2 / mean_k * rise_k.max(1e-9) * gap_m.powi(4)
        / (length_m * viscosity_m2_s * diffusivity_m2_s);
    let nusselt = (576.0 / (rayleigh * rayleigh) + 2.873 / rayleigh.sqrt()).powf(-0.5);
    nusselt * air.conductivity_w_mk / gap_m
}

/// What stands around a cooler without a fan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Still {
    /// Air at the cooler in °C.
    pub air_c: f64,
    /// Density of the air over that at sea level.
    pub density_ratio: f64,
    /// Emissivity of its surface.
    pub emissivity: f64,
    /// Film that a draught adds, in W/(m2 K); zero in still air.
    pub draught_w_m2k: f64,
}

/// Resistance from the base to the air at a power, in K/W.
///
/// # Model
/// The film of [`channel_film_w_m2k`] and that of a draught together as the cube root of the sum of their cubes, on plate
/// fins with their efficiency; radiation from the outer faces of the block of fins alone, at the mean of base and air,
/// for the faces between fins see each other. Film and rise feed each other and are settled by halving. Fins stand
/// upright. Left out: what the board and the case's walls take away or send back.
///
/// # Source
/// Cube root of the sum of cubes: S. W. Churchill, AIChE J. 23 (1977) 10-16, exponent 3 for assisting flow; from memory.
///
/// # Errors
/// A value that is not above zero, fewer than two fins, an emissivity outside 0 to 1.
pub fn still_k_w(sink: &Sink, power_w: f64, still: &Still) -> Result<f64, Refusal> {
    within("fins", sink.fins, sink.fins >= 2.0, "at least 2")?;
    positive("power", power_w)?;
    positive("gap", sink.gap_m)?;
    positive("fin length", sink.length_m)?;
    positive("air density", still.density_ratio)?;
    not_negative("draught", still.draught_w_m2k)?;
    within("emissivity", still.emissivity, (0.0..=1.0).contains(&still.emissivity), "between 0 and 1")?;
    let wide_m = sink.fins * (sink.thickness_m + sink.gap_m);
    let outer_m2 = 2.0 * (wide_m + sink.length_m) * sink.height_m + wide_m * sink.length_m;
    let carries_w = |rise_k: f64| -> Result<f64, Refusal> {
        let own = channel_film_w_m2k(sink.gap_m, sink.length_m, rise_k, still.air_c, still.density_ratio);
        let film_w_m2k = (own.powi(3) + still.draught_w_m2k.powi(3)).cbrt();
        let fins = array(&FinArray {
            conductivity_w_mk: sink.conductivity_w_mk,
            film_w_m2k,
            thickness_m: sink.thickness_m,
            height_m: sink.height_m,
            width_m: sink.length_m,
            fins: sink.fins,
            base_m2: wide_m * sink.length_m,
        })?;
        let mean_k = still.air_c + 273.15 + 0.5 * rise_k;
        let radiates = 4.0 * still.emissivity * RADIATION_W_M2K4 * mean_k.powi(3) * outer_m2;
        Ok(rise_k * (1.0 / fins.resistance_k_w + radiates))
    };
    let (mut low, mut high) = (0.0, 1.0);
    while carries_w(high)? < power_w && high < 1e4 {
        high *= 2.0;
    }
    // 50 halvings reach the last digits.
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if carries_w(middle)? < power_w { low = middle } else { high = middle }
    }
    Ok(0.5 * (low + high) / power_w)
}

#[cfg(test)]
mod tests {
    use super::{GRAVITY_M_S2, Still, channel_film_w_m2k, still_k_w};
    use crate::cooler::sink::{Sink, air_at};

    const SINK: Sink = Sink {
        fins: 12.0,
        thickness_m: 0.001,
        gap_m: 0.009,
        length_m: 0.12,
        height_m: 0.05,
        conductivity_w_mk: 200.0,
        ducted_share: 1.0,
    };
    const STILL: Still = Still { air_c: 30.0, density_ratio: 1.0, emissivity: 0.0, draught_w_m2k: 0.0 };

    /// The gap that carries most from a given width: `S = 2.714 (Ra_S / (S^3 L))^(-1/4)`.
    ///
    /// # Source
    /// A. Bar-Cohen, W. M. Rohsenow 1984, table 2, plates of one temperature on both sides (2.714); Incropera et al., table
    /// 9.3 (2.71). From memory. Independent: it is their own maximum over the gap, not a value of the film.
    #[test]
    fn the_best_gap_is_the_published_one() {
        let (length, rise, air_c) = (0.15_f64, 40.0, 30.0);
        let per_width = |gap: f64| channel_film_w_m2k(gap, length, rise, air_c, 1.0) / gap;
        let best = (20..2_000)
            .map(|step| f64::from(step) * 1e-5)
            .max_by(|a, b| per_width(*a).total_cmp(&per_width(*b)))
            .unwrap();
        let air = air_at(air_c + 0.5 * rise, 1.0);
        let viscosity = air.viscosity_pa_s / air.density_kg_m3;
        let per_gap_4 = GRAVITY_M_S2 / (air_c + 273.15 + 0.5 * rise) * rise
            / (length * viscosity * viscosity)
            * air.prandtl;
        let published = 2.714 * per_gap_4.powf(-0.25);
        assert!((best / published - 1.0).abs() < 5e-3, "{best} against {published}");
    }

    /// Far apart the plates do not feel each other: `Nu` on the length is `0.59 Ra_L^(1/4)`, a standing plate (Incropera et
    /// al., eq. 9.24; from memory). 2.873^(-1/2) = 0.590.
    #[test]
    fn far_apart_each_plate_stands_alone() {
        let (length, rise) = (0.1_f64, 30.0);
        let air = air_at(45.0, 1.0);
        let viscosity = air.viscosity_pa_s / air.density_kg_m3;
        let rayleigh = GRAVITY_M_S2 / 318.15 * rise * length.powi(3) / (viscosity * viscosity) * air.prandtl;
        let plate = 0.59 * rayleigh.powf(0.25) * air.conductivity_w_mk / length;
        let film = channel_film_w_m2k(0.2, length, rise, 30.0, 1.0);
        assert!((film / plate - 1.0).abs() < 2e-3, "{film} against {plate}");
    }

    #[test]
    fn heat_out_is_heat_in_and_more_of_each_cools_better() {
        let base = still_k_w(&SINK, 30.0, &STILL).unwrap();
        assert!((0.5..4.0).contains(&base), "{base}");
        for better in [
            Still { emissivity: 0.9, ..STILL },
            Still { draught_w_m2k: 8.0, ..STILL },
            Still { density_ratio: 1.1, ..STILL },
        ] {
            assert!(still_k_w(&SINK, 30.0, &better).unwrap() < base);
        }
        // Warmer fins draw more air: the resistance falls with the power.
        assert!(still_k_w(&SINK, 60.0, &STILL).unwrap() < base);
        assert!(still_k_w(&SINK, 0.0, &STILL).is_err());
        assert!(still_k_w(&Sink { fins: 1.0, ..SINK }, 30.0, &STILL).is_err());
        assert!(still_k_w(&SINK, 30.0, &Still { emissivity: 2.0, ..STILL }).is_err());
    }
}
