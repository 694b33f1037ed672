//! How long the burst power lasts from rest, and the stores of heat it fills.

use physics::point::burst::{Stores, seconds_to};
use quantity::dimension::{DurationDim, ThermalResistanceDim};
use quantity::interval::Interval;
use quantity::measure::Quantity;

use crate::carry::assumption::AT_REST_W;
use crate::carry::heat::{HeatSteps, air};
use crate::machine::proposal::Proposal;

/// Heat capacity of copper and of silicon for their volume, and of a cooler for its mass, copper to aluminium.
///
/// # Source
/// Incropera et al., Fundamentals of Heat and Mass Transfer, table A.1 (copper 8,933 kg/m3, 385 J/(kg K); silicon 2,330
/// kg/m3, 712 J/(kg K); aluminium 903 J/(kg K)); from memory.
pub const COPPER_J_M3K: f64 = 8_933.0 * 385.0;
/// See [`COPPER_J_M3K`].
pub const SILICON_J_M3K: f64 = 2_330.0 * 712.0;
/// See [`COPPER_J_M3K`].
pub const COOLER_J_KGK: (f64, f64) = (385.0, 903.0);

/// How long a burst lasts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BurstLength {
    /// From so long on the junction is at its limit, at the short end and at the long one.
    Seconds(Interval<DurationDim>),
    /// At the short end after so long; at the long end for ever.
    AtLeast(Quantity<DurationDim>),
    /// For ever.
    Ever,
}

/// The two stores of heat, lid and cooler, and what lies between, at the cool end and at the hot one.
pub fn stores(proposal: &Proposal<'_>, heat: &HeatSteps) -> Option<(Stores, Stores)> {
    let package = &proposal.processor().package;
    let lid_m3 = package
        .lid_width
        .with(package.lid_depth, |w, d| (w.low().si() * d.low().si(), w.high().si() * d.high().si()))
        .with(package.lid_thickness, |(small, large), t| (small * t.low().si(), large * t.high().si()))
        .get()?;
    let mass = proposal.cooler().mass.get()?;
    let (inner, lid, paste, sink) = (heat.inner.get()?, heat.lid.get()?, heat.paste.get()?, heat.sink.get()?);
    let at = |hot: bool| {
        let pick = |interval: Interval<ThermalResistanceDim>| {
            if hot { interval.high().si() } else { interval.low().si() }
        };
        Stores {
            junction_to_lid_k_w: pick(inner) + pick(lid),
            lid_to_cooler_k_w: pick(paste).max(1e-6),
            cooler_to_air_k_w: pick(sink),
            lid_j_k: COPPER_J_M3K * if hot { lid_m3.0 } else { lid_m3.1 },
            cooler_j_k: if hot {
                mass.low().si() * COOLER_J_KGK.0
            } else {
                mass.high().si() * COOLER_J_KGK.1
            },
        }
    };
    Some((at(false), at(true)))
}

/// How long the burst power lasts from rest.
pub fn burst(proposal: &Proposal<'_>, heat: &HeatSteps) -> Option<BurstLength> {
    let processor = proposal.processor();
    let (power, limit, air) =
        (processor.burst_power.get()?, processor.junction_limit.get()?, air(proposal).get()?);
    let (cool, hot) = stores(proposal, heat)?;
    let short = seconds_to(&hot, AT_REST_W.1, power.high().si(), (limit.low() - air.high()).si()).ok()?;
    let long = seconds_to(&cool, AT_REST_W.0, power.low().si(), (limit.high() - air.low()).si()).ok()?;
    Some(match (short, long) {
        (Some(short), Some(long)) => {
            BurstLength::Seconds(Interval::between(Quantity::from_si(short), Quantity::from_si(long)))
        }
        (Some(short), None) => BurstLength::AtLeast(Quantity::from_si(short)),
        (None, _) => BurstLength::Ever,
    })
}
