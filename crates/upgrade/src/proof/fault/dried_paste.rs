//! Dried or pumped-out paste.

use crate::machine::present::PasteState;
use crate::proof::fault::{Fault, hot_or_not};
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance; the range is that of the joint's worn states, pumped out to dried.
pub const FAULT: Fault = Fault {
    id: "dried-paste",
    name: "dried or pumped-out paste",
    what: "The joint between lid and cooler takes several times what fresh paste would, as old paste does.",
    check: "How old is the joint? Paste of this year does not dry out. If its age is not known, take the cooler off and look: a full \
            print that is dry and crumbles, or is thin in the middle and thick at the rim, is old paste; bare metal is poor contact.",
    cure: "Switched off, unplugged and cool: clean both faces and put fresh paste, the amount that `reseat paste` gives.",
    prior: |expected| match (expected.fresh_joint, expected.joint_state) {
        (true, _) => 0.004,
        (false, Some(PasteState::Dried | PasteState::PumpedOut)) => 0.5,
        (false, Some(PasteState::Fresh)) => 0.03,
        (false, _) => 0.2,
    },
    ways: |_| hot_or_not(&[Sign::Paste.from_to(1.8, 7.0), Sign::Slope.from_to(0.0, 0.1)], 5.0),
};
