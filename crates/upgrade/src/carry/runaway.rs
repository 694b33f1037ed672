//! How near the processor is to heat that runs away, at the hot end of what is unknown.

use physics::point::leakage::settle;
use quantity::dimension::{Frequency, Temperature, ThermalResistance};
use quantity::measure::Quantity;

use crate::carry::point::{Binding, Corner, Surroundings};
use crate::part::processor::Processor;

/// Where heat and leakage stand at the hot end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// How much of a kelvin comes back through the leakage it makes, at the clock that is held; at one the heat
    /// runs away. None where it does so at the lowest clock already.
    pub loop_gain: Option<f64>,
    /// What would have to change before its highest clock could be held at all; none where the heat settles there.
    pub runaway: Option<Runaway>,
    /// The lowest clock that is looked at, where even that passes the junction's limit, so that the processor switches
    /// itself off under load.
    pub too_hot_at: Option<Frequency>,
}

/// Heat that runs away at the highest clock: the temperature has no place to settle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Runaway {
    /// The highest clock at which it still settles; none where it does at none.
    pub settles_up_to: Option<Frequency>,
    /// Junction to air at which the highest clock would just settle.
    pub resistance: ThermalResistance,
    /// Air at which it would, with the resistance as it is.
    pub air: Temperature,
}

/// The edge of a processor in its surroundings; none where a figure is missing.
///
/// # Model
/// As [`crate::carry::point::sustained`], slow end. The heat runs away where temperature and leakage have no common
/// point any more: from the tangency of the two curves on.
///
/// # Source
/// R. Stout, Beyond the Data Sheet: Demystifying Thermal Runaway, 2007, through [`physics::point::leakage::settle`].
pub fn edge(processor: &Processor, around: &Surroundings) -> Option<Edge> {
    let corner = Corner::at(processor, around, true)?;
    let (held_ghz, _) = corner.solve();
    let hertz = |ghz: f64| Quantity::from_si(1e9 * ghz);
    let at_boost = settle(&corner.chip(corner.boost_ghz)).ok();
    let runaway = at_boost.filter(|settled| settled.stable.is_none()).map(|settled| Runaway {
        settles_up_to: corner.tangency_ghz().map(hertz),
        resistance: Quantity::from_si(settled.critical_resistance_k_w),
        air: Quantity::from_si(settled.critical_ambient_c + 273.15),
    });
    let lowest_ghz = corner.lowest_ghz();
    Some(Edge {
        loop_gain: settle(&corner.chip(held_ghz)).ok().and_then(|settled| settled.loop_gain),
        runaway,
        too_hot_at: (corner.exceeded(lowest_ghz) == Some(Binding::Junction)).then(|| hertz(lowest_ghz)),
    })
}
