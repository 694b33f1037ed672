//! A cooler that is too weak for the processor.

use crate::carry::point::Binding;
use crate::proof::fault::Fault;
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance.
pub const FAULT: Fault = Fault {
    id: "weak-cooler",
    name: "cooler too weak",
    what: "Paste and cooler do what they should, and the junction still reaches its limit: this cooler cannot carry this processor.",
    check: "Fan at full speed and fins clean? Then compare the cooler's resistance in this log with its sheet: if they agree, the cooler \
            is healthy and too small.",
    cure: "Take a stronger cooler (`reseat heat --with COOLER` says which is enough), or set a lower sustained power limit.",
    prior: |expected| if expected.may_bind(Binding::Junction) { 0.08 } else { 0.03 },
    ways: |_| {
        vec![vec![
            Sign::Sink.from_to(0.9, 1.15),
            Sign::Fan.from_to(0.8, 1.2),
            Sign::HeldByJunction.from_to(0.03, 1.0),
            Sign::Margin.from_to(-3.0, 2.5),
        ]]
    },
};
