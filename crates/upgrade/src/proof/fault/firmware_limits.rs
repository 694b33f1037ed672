//! Power limits that the firmware set by itself.

use crate::proof::fault::Fault;
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance and its ranges: boards set limits from well below the maker's to none at all.
pub const FAULT: Fault = Fault {
    id: "firmware-limits",
    name: "firmware's default limits",
    what: "The firmware has set another power limit than the processor's maker: the soak measured the board's choice.",
    check: "Read the sustained power limit in the firmware's menu and compare it with the maker's figure.",
    cure: "Set the maker's sustained power limit in the firmware, then repeat the soak.",
    prior: |expected| if expected.fresh_joint { 0.06 } else { 0.04 },
    ways: |_| {
        vec![
            // Lower: the clock is held although nothing is hot.
            vec![
                Sign::LimitSet.from_to(0.2, 0.95),
                Sign::HeldByPower.from_to(0.1, 1.0),
                Sign::PowerOfLimit.from_to(0.9, 1.05),
            ],
            // Higher, or none: more power than the plan reckons with.
            vec![
                Sign::LimitSet.from_to(1.05, 10.0),
                Sign::HeldByPower.may(0.02, 1.0),
                Sign::HeldByJunction.may(0.02, 1.0),
                Sign::Margin.may(-3.0, 5.0),
                Sign::PowerOfLimit.from_to(0.2, 1.05),
            ],
        ]
    },
};
