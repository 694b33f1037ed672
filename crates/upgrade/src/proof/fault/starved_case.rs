//! A case that does not get enough air.

use crate::proof::fault::{Fault, hot_or_not};
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance and its ranges.
pub const FAULT: Fault = Fault {
    id: "starved-case",
    name: "starved case",
    what: "The air in the case warms far more than its fans should let it: the cooler breathes warm air.",
    check: "Repeat the soak with the side of the case open and give both logs (`--after FIRST --open SECOND`), or hold a thermometer to the \
            cooler's air inlet at the end of the load (`--case-air \"38 °C\"`): air that is warm there is the case; if it is about the room's, it is the \
            cooler.",
    cure: "Switch off and unplug. Free the inlets and filters, turn fans so that air goes from front to back, add one, move cables out of the way.",
    prior: |_| 0.05,
    ways: |_| hot_or_not(&[Sign::CaseAir.from_to(1.7, 8.0)], 5.0),
};
