//! Wrong results at rest or under light load.

use crate::proof::fault::Fault;
use crate::proof::sign::Sign;

/// The fault.
///
/// # Model
/// A processor needs more voltage for each clock at light load, where it runs fastest; too little shows there first.
///
/// # Source
/// common practice, no source, for its chance.
pub const FAULT: Fault = Fault {
    id: "unstable-light",
    name: "unstable at light load",
    what: "Results were wrong at rest or while few cores worked, where clock and voltage are highest.",
    check: "Run one core after another: always the same core means the processor or its voltage; any core means memory or supply. Set memory \
            to its plain speed and repeat.",
    cure: "Take back any lowered voltage or raised clock, load the firmware's defaults, update the firmware; if it stays, the part is faulty: \
           do not work with this machine until it is found.",
    prior: |_| 0.02,
    ways: |_| vec![vec![Sign::ErrorsLight.from_to(0.25, 6.0), Sign::ErrorsFull.may(0.25, 6.0)]],
};
