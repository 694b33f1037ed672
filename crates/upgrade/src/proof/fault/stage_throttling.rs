//! Power stages that hold the processor down.

use crate::proof::fault::Fault;
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance and its ranges.
pub const FAULT: Fault = Fault {
    id: "stage-throttling",
    name: "throttled by the power stages",
    what: "The board's power stages are too hot or at their current, and ask the processor to draw less.",
    check: "With fingers and cables clear of every fan, blow air onto the power stages during the soak: if the clock comes back, it is their temperature; if not, their current.",
    cure: "Give the stages air (a top-flow cooler, a fan, a heatsink), set a lower sustained power limit, or take a stronger board.",
    prior: |expected| if expected.may_bind(crate::carry::point::Binding::PowerStages) { 0.15 } else { 0.03 },
    ways: |_| {
        vec![vec![
            Sign::HeldByStages.from_to(0.05, 1.0),
            Sign::Stages.from_to(85.0, 135.0),
            Sign::Margin.from_to(2.0, 75.0),
        ]]
    },
};
