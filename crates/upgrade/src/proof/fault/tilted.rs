//! A cooler that sits tilted.

use crate::proof::fault::{Fault, hot_or_not};
use crate::proof::sign::Sign;

/// The fault.
///
/// # Model
/// A wedge of paste: the cores over its thick end are warmer. A lid conducts sideways and evens out most of that: of what the paste takes,
/// a few hundredths to a fifth are left from one end of a die to the other, as much as a sound die shows whose other end has no cores. So
/// this is mostly told as one of the joint's faults, and by itself only where the slope is large.
///
/// # Source
/// common practice, no source, for its chance and its ranges.
pub const FAULT: Fault = Fault {
    id: "tilted",
    name: "tilted mounting",
    what: "The cooler does not sit flat: the paste is a wedge, thick at one edge. Cores under that edge run hotter, unless the lid evens it out.",
    check: "Machine off and cool: are all screws, pins or hooks as deep, and is the gap between base and socket the same all around? Where the \
            mounting allows it, turn the cooler by half a turn and soak again: a hotter side that moves with it is the mounting, one that stays is \
            the die's own.",
    cure: "Switch off, unplug, let it cool. Loosen the cooler, set it down straight and tighten crosswise, a turn at a time; put fresh paste if \
           it was lifted.",
    prior: |expected| if expected.fresh_joint { 0.06 } else { 0.02 },
    ways: |_| {
        let paste = Sign::Paste.from_to(1.1, 8.0);
        // Along the cores, and large enough to be seen through the lid; or across them, or evened out by the lid.
        let seen = hot_or_not(&[paste, Sign::Slope.from_to(0.08, 0.4)], 5.0);
        [seen, hot_or_not(&[paste, Sign::Slope.from_to(0.0, 0.12)], 5.0)].concat()
    },
};
