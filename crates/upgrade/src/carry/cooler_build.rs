//! Coolers from what they are built of: fins under a fan, fins in still air, a liquid loop.

use physics::cooler::channel::{Channel, flow};
use physics::cooler::fan::Fan;
use physics::cooler::sink::{Sink, air_at, loop_resistance_k_w, working};
use physics::cooler::still::{Still, still_k_w};
use quantity::dimension::LengthDim;
use quantity::reading::Figure;

use crate::carry::cooler_air::at_ratio;
use crate::carry::heat::air;
use crate::machine::proposal::Proposal;
use crate::part::cooler::{Fans, Fins, Liquid};

/// Conductivity of aluminium fins in W/(m K), worst and best; share of the air that goes between open fins.
///
/// # Source
/// common practice, no source, for both.
const FINS_W_MK: (f64, f64) = (180.0, 220.0);
const DUCTED: (f64, f64) = (0.6, 1.0);

/// Emissivity of fins: bare metal to painted or anodised; speed of the draught that a case's own fans make beside a
/// cooler without one.
///
/// # Source
/// common practice, no source.
const EMISSIVITY: (f64, f64) = (0.1, 0.9);
const DRAUGHT_M_S: f64 = 0.3;

/// What a pump moves where nobody said it, in m3/s: 0.5 to 2 l/min.
///
/// # Source
/// common practice, no source.
const UNKNOWN_LIQUID_M3_S: (f64, f64) = (0.5 / 60_000.0, 2.0 / 60_000.0);
/// Density of a loop's liquid, and what a kilogram takes for a kelvin: half glycol to plain water.
///
/// # Source
/// Incropera et al., tables A.5 (ethylene glycol) and A.6 (water) near 310 K, mixed by mass; from memory.
const LIQUID_KG_M3: (f64, f64) = (1_060.0, 993.0);
const LIQUID_J_KGK: (f64, f64) = (3_300.0, 4_178.0);

/// The fins as a sink, at one end of what is not known of them.
fn sink(fins: &Fins, conductivity_w_mk: f64, ducted_share: f64) -> Option<Sink> {
    let middle = |figure: Figure<LengthDim>| figure.get().map(|x| x.middle().si());
    Some(Sink {
        fins: f64::from(fins.count),
        thickness_m: middle(fins.thickness)?,
        gap_m: middle(fins.gap)?,
        length_m: middle(fins.length)?,
        height_m: middle(fins.height)?,
        conductivity_w_mk,
        ducted_share,
    })
}

/// Fins under their fans, where both are known in detail: K/W at the best end and at the worst.
pub(crate) fn under_fans(fins: &Fins, fans: &Fans, density_ratio: f64) -> Option<(f64, f64)> {
    let fan = Fan {
        shut_pressure_pa: fans.shut_pressure.get()?.middle().si() * density_ratio,
        free_flow_m3_s: fans.free_flow.get()?.middle().si() * f64::from(fans.count),
    };
    let air = air_at(30.0, density_ratio);
    let at = |conductivity: f64, ducted: f64| {
        working(&sink(fins, conductivity, ducted)?, &fan, &air).ok().map(|working| working.resistance_k_w)
    };
    Some((at(FINS_W_MK.1, DUCTED.1)?, at(FINS_W_MK.0, DUCTED.0)?))
}

/// Fins without a fan at the processor's sustained power: K/W at the best end and at the worst.
///
/// # Model
/// [`still_k_w`], fins upright. At the best end painted, in the draught of the case's fans if it has any; at the worst
/// bare metal in still air.
pub(crate) fn in_still_air(proposal: &Proposal<'_>, fins: &Fins, density: (f64, f64)) -> Option<(f64, f64)> {
    let power = proposal.processor().sustained_power.get()?;
    let air = air(proposal).get()?;
    let best = sink(fins, FINS_W_MK.1, 1.0)?;
    let has_draught = proposal.case().air_flow.get().is_some_and(|flow| flow.high().si() > 0.0);
    let draught_w_m2k = if has_draught {
        let channel = Channel {
            gap_m: best.gap_m,
            height_m: best.height_m,
            length_m: best.length_m,
            speed_m_s: DRAUGHT_M_S,
        };
        flow(&channel, &air_at(30.0, density.0)).ok()?.film_inlet_w_m2k
    } else {
        0.0
    };
    let still = |celsius: f64, density_ratio, emissivity, draught_w_m2k| Still {
        air_c: celsius - 273.15,
        density_ratio,
        emissivity,
        draught_w_m2k,
    };
    let cool =
        still_k_w(&best, power.high().si(), &still(air.low().si(), density.0, EMISSIVITY.1, draught_w_m2k));
    let warm = still_k_w(
        &sink(fins, FINS_W_MK.0, 1.0)?,
        power.low().si(),
        &still(air.high().si(), density.1, EMISSIVITY.0, 0.0),
    );
    Some((cool.ok()?, warm.ok()?))
}

/// A liquid loop from its plate, its liquid and its radiator: K/W at the best end and at the worst.
///
/// # Model
/// [`loop_resistance_k_w`]. The radiator by its own figure, in thinner air as any finned cooler; else by its fins and
/// fans. Left out: what the pump itself gives off, and the hoses.
pub(crate) fn of_loop(
    liquid: &Liquid,
    fins: Option<&Fins>,
    fans: Option<&Fans>,
    density: (f64, f64),
) -> Option<(f64, f64)> {
    let plate = liquid.plate_resistance.get()?;
    let radiator = match liquid.radiator_resistance.get() {
        Some(own) => (own.low().si() * at_ratio(density.0).0, own.high().si() * at_ratio(density.1).1),
        None => (under_fans(fins?, fans?, density.0)?.0, under_fans(fins?, fans?, density.1)?.1),
    };
    let moved = liquid.flow.get().map_or(UNKNOWN_LIQUID_M3_S, |flow| (flow.low().si(), flow.high().si()));
    let best = loop_resistance_k_w(plate.low().si(), radiator.0, moved.1 * LIQUID_KG_M3.1, LIQUID_J_KGK.1);
    let worst = loop_resistance_k_w(plate.high().si(), radiator.1, moved.0 * LIQUID_KG_M3.0, LIQUID_J_KGK.0);
    Some((best.ok()?, worst.ok()?))
}
