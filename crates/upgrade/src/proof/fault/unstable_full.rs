//! Wrong results under full load.

use crate::proof::fault::{Fault, hot_or_not};
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance.
pub const FAULT: Fault = Fault {
    id: "unstable-full",
    name: "wrong results under full load",
    what: "Results were wrong while all cores worked, where power and temperature are highest.",
    check: "Repeat with half the cores: if it is right then, suspect supply and power stages; if it is still wrong, set memory to its plain \
            speed and repeat.",
    cure: "Load the firmware's defaults, set the maker's power limit, check the supply's connectors; do not work with this machine until it \
           is found.",
    prior: |_| 0.015,
    ways: |_| hot_or_not(&[Sign::ErrorsFull.from_to(0.25, 6.0), Sign::ErrorsLight.may(0.25, 6.0)], 5.0),
};
