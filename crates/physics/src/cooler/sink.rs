//! A finned cooler from its geometry: fan against fins, film, fin efficiency, resistance to the air.

use crate::cooler::channel::{Air, Channel, flow};
use crate::cooler::fan::Fan;
use crate::cooler::fin::{FinArray, array};
use crate::refusal::{Refusal, positive, within};

/// Plate fins with air blown between them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sink {
    /// Number of fins.
    pub fins: f64,
    /// Thickness of a fin.
    pub thickness_m: f64,
    /// Gap between two fins.
    pub gap_m: f64,
    /// Length of a fin along the air's way.
    pub length_m: f64,
    /// Height of a fin from base or pipe to tip.
    pub height_m: f64,
    /// Conductivity of the fins.
    pub conductivity_w_mk: f64,
    /// Share of the fan's air that goes between the fins: one in a duct.
    pub ducted_share: f64,
}

/// How a sink works with its fan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Working {
    /// Air between the fins.
    pub flow_m3_s: f64,
    /// Pressure lost there.
    pub drop_pa: f64,
    /// Film on the fins, against the air that enters.
    pub film_w_m2k: f64,
    /// Fin efficiency.
    pub fin_efficiency: f64,
    /// Base to air that enters.
    pub resistance_k_w: f64,
}

/// Dry air at a temperature and density ratio.
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, table A.4 at 300 and 350 K, straight between;
/// from memory.
pub fn air_at(celsius: f64, density_ratio: f64) -> Air {
    let t = (celsius + 273.15 - 300.0) / 50.0;
    Air {
        density_kg_m3: (1.161_4 + t * (0.995_0 - 1.161_4)) * density_ratio,
        viscosity_pa_s: 1.846e-5 + t * (2.082e-5 - 1.846e-5),
        conductivity_w_mk: 0.026_3 + t * (0.030_0 - 0.026_3),
        prandtl: 0.707 + t * (0.700 - 0.707),
    }
}

/// Heat and flow of a sink under its fan.
///
/// # Model
/// Flow where the fan's straight line meets the friction of developing laminar flow between the fins,
/// found by halving; film against the entering air (which contains the warming of the air on its way);
/// plate fins of one temperature along the length. Entry and exit losses are left out, which lets a
/// little too much air through; a share of the air that passes beside open fins is a figure of the sink.
///
/// # Source
/// [`crate::cooler::channel`], [`crate::cooler::fan`], [`crate::cooler::fin`].
///
/// # Errors
/// A value that is not above zero, or a ducted share outside 0 to 1.
pub fn working(sink: &Sink, fan: &Fan, air: &Air) -> Result<Working, Refusal> {
    within("fins", sink.fins, sink.fins >= 2.0, "at least 2")?;
    positive("shut pressure", fan.shut_pressure_pa)?;
    positive("free flow", fan.free_flow_m3_s)?;
    let share = sink.ducted_share;
    within("ducted share", share, share > 0.0 && share <= 1.0, "above 0 and at most 1")?;
    let open_m2 = (sink.fins - 1.0) * positive("gap", sink.gap_m)? * positive("fin height", sink.height_m)?;
    let at = |flow_m3_s: f64| {
        let speed_m_s = share * flow_m3_s / open_m2;
        let channel =
            Channel { gap_m: sink.gap_m, height_m: sink.height_m, length_m: sink.length_m, speed_m_s };
        flow(&channel, air)
    };
    let (mut low, mut high) = (0.0, fan.free_flow_m3_s);
    // 40 halvings end below a billionth of the free flow.
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        let given = fan.shut_pressure_pa * (1.0 - middle / fan.free_flow_m3_s);
        if given > at(middle)?.friction_drop_pa { low = middle } else { high = middle }
    }
    let flow_m3_s = 0.5 * (low + high);
    let channel = at(flow_m3_s)?;
    let pitch = sink.thickness_m + sink.gap_m;
    let fin = array(&FinArray {
        conductivity_w_mk: sink.conductivity_w_mk,
        film_w_m2k: channel.film_inlet_w_m2k,
        thickness_m: sink.thickness_m,
        height_m: sink.height_m,
        width_m: sink.length_m,
        fins: sink.fins,
        base_m2: sink.fins * pitch * sink.length_m,
    })?;
    Ok(Working {
        flow_m3_s: share * flow_m3_s,
        drop_pa: channel.friction_drop_pa,
        film_w_m2k: channel.film_inlet_w_m2k,
        fin_efficiency: fin.fin_efficiency,
        resistance_k_w: fin.resistance_k_w,
    })
}

/// Resistance of a liquid loop: cold plate, then radiator, with the liquid's own warming between.
///
/// # Model
/// In series: plate to liquid, half the liquid's rise on its way `1 / (2 m c)`, radiator to air.
///
/// # Errors
/// A value that is not above zero.
pub fn loop_resistance_k_w(
    plate_k_w: f64,
    radiator_k_w: f64,
    liquid_kg_s: f64,
    liquid_j_kgk: f64,
) -> Result<f64, Refusal> {
    positive("plate to liquid", plate_k_w)?;
    positive("radiator to air", radiator_k_w)?;
    positive("liquid flow", liquid_kg_s)?;
    positive("liquid heat capacity", liquid_j_kgk)?;
    Ok(plate_k_w + radiator_k_w + 0.5 / (liquid_kg_s * liquid_j_kgk))
}

/// How much warmer air leaves a case than it enters, in kelvin: heat over what the flow carries.
///
/// # Errors
/// A heat below zero, or no flow.
pub fn case_rise_k(heat_w: f64, flow_m3_s: f64, air: &Air) -> Result<f64, Refusal> {
    crate::refusal::not_negative("heat in the case", heat_w)?;
    positive("air flow of the case", flow_m3_s)?;
    Ok(heat_w / (flow_m3_s * air.density_kg_m3 * HEAT_CAPACITY_J_KGK))
}

/// Heat capacity of air at constant pressure near 300 K.
///
/// # Source
/// Incropera et al., table A.4 (1,007 J/(kg K)); from memory.
const HEAT_CAPACITY_J_KGK: f64 = 1_007.0;

#[cfg(test)]
mod tests {
    use super::{Sink, air_at, case_rise_k, loop_resistance_k_w, working};
    use crate::cooler::fan::Fan;

    const SINK: Sink = Sink {
        fins: 45.0,
        thickness_m: 0.0005,
        gap_m: 0.0018,
        length_m: 0.045,
        height_m: 0.055,
        conductivity_w_mk: 205.0,
        ducted_share: 0.8,
    };
    const FAN: Fan = Fan { shut_pressure_pa: 25.0, free_flow_m3_s: 0.025 };

    #[test]
    fn fan_and_fins_meet() {
        let found = working(&SINK, &FAN, &air_at(30.0, 1.0)).unwrap();
        let through = found.flow_m3_s / 0.8;
        let given = 25.0 * (1.0 - through / 0.025);
        assert!((given - found.drop_pa).abs() < 1e-4, "{given} Pa against {} Pa", found.drop_pa);
        // No sink carries more than its air: R is at least 1 / (rho Q c).
        assert!(found.resistance_k_w > case_rise_k(1.0, found.flow_m3_s, &air_at(30.0, 1.0)).unwrap());
    }

    #[test]
    fn more_fan_and_denser_air_cool_better() {
        let at =
            |fan: &Fan, density: f64| working(&SINK, fan, &air_at(30.0, density)).unwrap().resistance_k_w;
        assert!(at(&FAN.at_speed(0.5), 1.0) > at(&FAN, 1.0));
        assert!(at(&FAN, 0.8) > at(&FAN, 1.0));
    }

    /// 100 W into 0.02 m3/s of air at 300 K (1.1614 kg/m3, 1,007 J/(kg K)): 4.275 K by hand.
    #[test]
    fn a_case_warms_by_its_heat() {
        let rise = case_rise_k(100.0, 0.02, &air_at(26.85, 1.0)).unwrap();
        assert!((rise - 4.275).abs() < 1e-3, "{rise}");
        assert!(case_rise_k(100.0, 0.0, &air_at(26.85, 1.0)).is_err());
        // 0.02 kg/s of water: 4,180 J/(kg K); half the rise of a watt is 6 mK.
        let whole = loop_resistance_k_w(0.03, 0.08, 0.02, 4_180.0).unwrap();
        assert!((whole - 0.115_98).abs() < 1e-5, "{whole}");
    }
}
