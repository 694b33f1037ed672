//! Poor contact, or too little paste.

use crate::proof::fault::{Fault, hot_or_not};
use crate::proof::sign::Sign;

/// The fault.
///
/// # Source
/// common practice, no source, for its chance and its ranges: a joint with air in it takes three to forty times that of a
/// whole one.
pub const FAULT: Fault = Fault {
    id: "poor-contact",
    name: "poor contact or too little paste",
    what: "The joint between lid and cooler takes far more than fresh paste under full pressure would.",
    check: "Let it cool, switch off and unplug, take the cooler off and look at the print: bare metal or a small round patch means \
            too little paste or too little pressure; a full, dry and crumbling print means old paste.",
    cure: "Switched off, unplugged and cool: clean both faces, put the amount that `reseat paste` gives, set the cooler down straight and tighten crosswise, a turn at a time.",
    prior: |expected| if expected.fresh_joint { 0.12 } else { 0.05 },
    ways: |_| hot_or_not(&[Sign::Paste.from_to(2.2, 30.0), Sign::Slope.from_to(0.0, 0.12)], 5.0),
};
