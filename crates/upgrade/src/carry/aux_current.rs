//! Current in each 12 V pin of the auxiliary connectors.

use quantity::dimension::CurrentDim;
use quantity::interval::Interval;
use quantity::measure::Quantity;
use quantity::reading::Figure;

use crate::carry::assumption::{RAIL_12V, STAGE_EFFICIENCY};
use crate::machine::proposal::Proposal;

/// Current in each of the `pins` 12 V pins while the processor draws its burst power.
///
/// # Model
/// Power over efficiency, voltage and pins, shared equally. Unequal contact resistance is left out.
/// Where no burst power is known the sustained power is taken.
pub fn per_pin(proposal: &Proposal<'_>, pins: u32) -> Figure<CurrentDim> {
    let processor = proposal.processor();
    let power = processor.burst_power.or(processor.sustained_power);
    let pins = f64::from(pins.max(1));
    power.map(|power| {
        Interval::between(
            Quantity::from_si(power.low().si() / STAGE_EFFICIENCY.1 / RAIL_12V.1 / pins),
            Quantity::from_si(power.high().si() / STAGE_EFFICIENCY.0 / RAIL_12V.0 / pins),
        )
    })
}
