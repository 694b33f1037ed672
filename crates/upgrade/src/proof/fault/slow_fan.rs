//! Dust in the fins, or a fan that is too slow.

use crate::proof::fault::{Fault, hot_or_not};
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance and its ranges: clogged fins take one and a half to four times as much.
pub const FAULT: Fault = Fault {
    id: "slow-fan",
    name: "dust or slow fan",
    what: "The cooler gives off its heat worse than it should: too little air goes through its fins.",
    check: "Look between the fins against a light for felt; under load, is the fan's speed that of its sheet? If the speed is right and \
            the fins are clean, measure the air that the cooler takes (`--case-air \"38 °C\"`, or a second soak with the side of the case open, `--open \
            SECOND`): the case may be starved.",
    cure: "Switch off, unplug, hold the fan's blades and brush or blow the fins clean; replace a fan that does not reach its speed, or \
           raise its curve in the firmware.",
    prior: |expected| if expected.fresh_joint { 0.04 } else { 0.12 },
    ways: |_| {
        let dust = [Sign::Sink.from_to(1.35, 5.0), Sign::Fan.from_to(0.6, 2.2)];
        // The cooler is as it should be at such a speed; the speed is not.
        let slow = [Sign::Sink.from_to(0.9, 1.5), Sign::Fan.from_to(0.0, 0.65)];
        [hot_or_not(&dust, 5.0), hot_or_not(&slow, 30.0)].concat()
    },
};
