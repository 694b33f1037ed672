//! A case that does not get enough air.

use crate::proof::fault::Fault;
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance and its ranges.
pub const FAULT: Fault = Fault {
    id: "starved-case",
    name: "starved case",
    what: "The air in the case warms far more than its fans should let it: the cooler breathes warm air.",
    check: "Repeat the soak with the side of the case open: if the processor is cooler by more than a few kelvin after ten minutes, it is \
            the case; if not, it is the cooler.",
    cure: "Free the inlets and filters, turn fans so that air goes from front to back, add one, move cables out of the way.",
    prior: |_| 0.05,
    ways: |_| {
        vec![vec![
            Sign::CaseAir.from_to(1.7, 8.0),
            Sign::HeldByJunction.may(0.02, 1.0),
            Sign::Margin.may(-3.0, 5.0),
        ]]
    },
};
