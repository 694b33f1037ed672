//! A sustained power limit that holds the clock.

use crate::carry::point::Binding;
use crate::proof::fault::Fault;
use crate::proof::sign::Sign;

/// The finding: no fault of a part, but the answer to "why is it not faster".
///
/// # Source
/// common practice, no source, for its chance.
pub const FAULT: Fault = Fault {
    id: "power-limit",
    name: "sustained power limit",
    what: "The processor's own sustained power limit holds its clock, at the figure its maker sets; heat is not what stops it.",
    check: "Compare the power under load with the limit that the firmware shows: equal means the limit; far below means something else.",
    cure: "None needed. Where stages, supply and cooler carry more (`reseat power`, `reseat heat`), the firmware may allow a higher limit, \
           at the price of energy, noise and perhaps the maker's warranty.",
    // Where the plan has it bind anyway, it is no news.
    prior: |expected| if expected.may_bind(Binding::SustainedPower) { 0.0 } else { 0.04 },
    ways: |_| {
        vec![vec![
            Sign::HeldByPower.from_to(0.2, 1.0),
            Sign::PowerOfLimit.from_to(0.96, 1.03),
            Sign::Margin.from_to(2.0, 70.0),
        ]]
    },
};
