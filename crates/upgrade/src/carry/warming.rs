//! How the machine-to-be warms after load comes on: from the first milliseconds in the die to the minutes of its cooler.

use core::ops::ControlFlow;

use physics::conduction::grid::Resolution;
use physics::conduction::transient;
use physics::point::burst::rise_after_k;
use quantity::dimension::{Power, TemperatureDim};
use quantity::measure::Quantity;
use quantity::reading::Figure;

use crate::carry::assumption::AT_REST_W;
use crate::carry::burst::{COOLER_J_KGK, COPPER_J_M3K, SILICON_J_M3K, stores};
use crate::carry::heat::{air, heat_steps};
use crate::carry::heat_map::NoMap;
use crate::carry::heat_path::HeatPath;
use crate::carry::joint::{middle_m2k_w, paste_joint_mm2k_w};
use crate::carry::lid_stack::{LidStack, Lump};
use crate::machine::proposal::Proposal;

/// The junction at a time after load came on, in °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct At {
    /// Seconds.
    pub time_s: f64,
    /// At the sustained power, every figure at its middle.
    pub sustained_c: f64,
    /// At the burst power.
    pub burst_c: Option<f64>,
    /// At the sustained power, at the cool end and at the hot end of what is unknown.
    pub band_c: Option<(f64, f64)>,
}

/// A curve of warming.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// What the machine-to-be is called.
    pub title: String,
    /// Power at rest, from which it begins.
    pub rest: Power,
    /// Sustained power.
    pub sustained: Power,
    /// Burst power.
    pub burst: Option<Power>,
    /// Junction's limit.
    pub limit: Figure<TemperatureDim>,
    /// The curve, evenly in logarithms of time.
    pub at: Vec<At>,
    /// When half of the rise is done at the sustained power, and when all but a kelvin.
    pub half_s: f64,
    /// See [`Self::half_s`].
    pub settled_s: f64,
}

/// First moment, and moments of the curve.
const FIRST_S: f64 = 1e-3;
const MOMENTS: usize = 72;
/// How many of the slowest time constants are followed.
const CONSTANTS: f64 = 6.0;
/// Cells and error of a step: the curve is drawn, not measured.
const CELLS: Resolution = Resolution { x: 24, y: 24, z: 9 };
const TOLERANCE: f64 = 2e-3;

/// How the junction warms after load comes on at rest.
///
/// # Model
/// [`transient::warming`] on die, lid, an even joint and the cooler as one lump of its mass, whose resistance to the air
/// is that of the steady state; linear, so that one solve serves every power. Every figure at its middle; the band is
/// that of two stores at both ends. Left out: leakage that grows on the way, the air of the case as it warms, firmware
/// that lowers the power. `watch` is told the share that is done and may stop it.
///
/// # Errors
/// A figure that is not known, no lid, or stopped.
pub fn curve(
    proposal: &Proposal<'_>,
    path: &HeatPath,
    threads: usize,
    watch: &mut dyn FnMut(f64) -> ControlFlow<()>,
) -> Result<Curve, NoMap> {
    let heat = heat_steps(proposal);
    let processor = proposal.processor();
    let air = air(proposal).get().ok_or(NoMap::Missing("the air at the cooler"))?;
    let sink_k_w = heat.sink.get().ok_or(NoMap::Missing("the cooler's resistance"))?.middle().si();
    let mass_kg = proposal.cooler().mass.get().ok_or(NoMap::Missing("the cooler's mass"))?.middle().si();
    let power = path.point.power.or(processor.sustained_power);
    let sustained_w = power.get().ok_or(NoMap::Missing("the sustained power"))?.middle().si();
    let burst_w = processor.burst_power.get().map(|power| power.middle().si());
    let cooler_j_k = mass_kg * 0.5 * (COOLER_J_KGK.0 + COOLER_J_KGK.1);
    let stack = LidStack::of(proposal)?;
    let lump = Lump { to_air_k_w: sink_k_w, joint_m2k_w: middle_m2k_w(paste_joint_mm2k_w(proposal)) };
    let (stack, lump_m3) = stack.on_lump(&lump);
    let until_s = CONSTANTS * (sink_k_w + heat.paste.get().map_or(0.0, |r| r.middle().si())) * cooler_j_k;
    let wanted = transient::Warming { cells: CELLS, until_s, tolerance: TOLERANCE, threads };
    let capacities = [SILICON_J_M3K, COPPER_J_M3K, cooler_j_k / lump_m3];
    let moments = transient::warming(&stack, &capacities, wanted, watch)?;
    // Straight between the solver's own moments: they lie closer where the curve bends more.
    let rise_of_a_watt = |time_s: f64| {
        let after = moments.partition_point(|moment| moment.time_s < time_s);
        match (after.checked_sub(1).and_then(|idx| moments.get(idx)), moments.get(after)) {
            (Some(a), Some(b)) => {
                let part = (time_s - a.time_s) / (b.time_s - a.time_s);
                a.made_at_k + part * (b.made_at_k - a.made_at_k)
            }
            (Some(only), None) | (None, Some(only)) => only.made_at_k,
            (None, None) => 0.0,
        }
    };
    let rest_w = 0.5 * (AT_REST_W.0 + AT_REST_W.1);
    let whole = rise_of_a_watt(until_s);
    let air_c = air.middle().si() - 273.15;
    let celsius =
        |power_w: f64, time_s: f64| air_c + rest_w * whole + (power_w - rest_w) * rise_of_a_watt(time_s);
    let ends = stores(proposal, &heat).zip(path.point.power_ends);
    let at = |time_s: f64| At {
        time_s,
        sustained_c: celsius(sustained_w, time_s),
        burst_c: burst_w.map(|burst| celsius(burst, time_s)),
        band_c: ends.map(|((cool, hot), (slow, fast))| {
            let cool = rise_after_k(&cool, AT_REST_W.0, fast.si(), time_s);
            let hot = rise_after_k(&hot, AT_REST_W.1, slow.si(), time_s);
            (air.low().si() - 273.15 + cool, air.high().si() - 273.15 + hot)
        }),
    };
    let decades = (until_s / FIRST_S).ln();
    let at: Vec<At> =
        (0..MOMENTS).map(|idx| at(FIRST_S * (decades * idx as f64 / (MOMENTS - 1) as f64).exp())).collect();
    let when = |share: f64| {
        moments
            .iter()
            .find(|moment| moment.made_at_k >= share * whole)
            .map_or(until_s, |moment| moment.time_s)
    };
    let rise_k = ((sustained_w - rest_w) * whole).max(1e-9);
    Ok(Curve {
        title: path.title.clone(),
        rest: Quantity::from_si(rest_w),
        sustained: Quantity::from_si(sustained_w),
        burst: burst_w.map(Quantity::from_si),
        limit: path.limit,
        half_s: when(0.5),
        settled_s: when((1.0 - 1.0 / rise_k).max(0.0)),
        at,
    })
}
