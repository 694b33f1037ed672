//! A cooler that sits tilted.

use crate::proof::fault::Fault;
use crate::proof::sign::Sign;

/// The fault.
///
/// # Model
/// A wedge of paste: the cores over its thick end are warmer. Cores are taken as numbered along the die; where they are
/// not, the slope is smaller than it is.
///
/// # Source
/// common practice, no source, for its chance and its ranges.
pub const FAULT: Fault = Fault {
    id: "tilted",
    name: "tilted mounting",
    what: "The cores at one side of the die run hotter than those at the other under the same load: the paste is a wedge.",
    check: "Load one core after another: if the same side is hotter each time, it is the mounting. Look along the cooler's base with a \
            light, and measure whether all screws or pins are as deep.",
    cure: "Loosen the cooler, set it down straight and tighten crosswise, a turn at a time; put fresh paste if it was lifted.",
    prior: |expected| if expected.fresh_joint { 0.06 } else { 0.02 },
    ways: |_| {
        vec![vec![
            Sign::Paste.from_to(1.1, 8.0),
            Sign::Slope.from_to(0.08, 0.9),
            Sign::HeldByJunction.may(0.02, 1.0),
            Sign::Margin.may(-3.0, 5.0),
        ]]
    },
};
