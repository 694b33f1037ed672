//! Faults that a soak can show: one file each, with what it does to the signs, what separates it and what cures it.

pub mod dried_paste;
pub mod firmware_limits;
pub mod poor_contact;
pub mod power_limit;
pub mod pump_stopped;
pub mod slow_fan;
pub mod stage_throttling;
pub mod starved_case;
pub mod tilted;
pub mod unstable_full;
pub mod unstable_light;
pub mod weak_cooler;

use crate::proof::expected::Expected;
use crate::proof::sign::{Range, Sign};

/// A fault.
#[derive(Debug, Clone, Copy)]
pub struct Fault {
    /// Word that stands for it.
    pub id: &'static str,
    /// What it is called.
    pub name: &'static str,
    /// What is wrong, in a sentence.
    pub what: &'static str,
    /// The check that separates it from its neighbours.
    pub check: &'static str,
    /// What cures it.
    pub cure: &'static str,
    /// Chance that a machine on the bench has it, before the log.
    pub prior: fn(&Expected) -> f64,
    /// What it does to the signs, in each way it can come; what is not named stays as in a sound machine.
    pub ways: fn(&Expected) -> Vec<Vec<Range>>,
}

impl PartialEq for Fault {
    fn eq(&self, other: &Self) -> bool {
        self.id == other.id
    }
}

/// Faults that look alike to a log, and the check that tells them apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neighbours {
    /// What they have in common: what is at fault, whichever it is.
    pub what: &'static str,
    /// Their words.
    pub ids: &'static [&'static str],
    /// What tells one from the other.
    pub check: &'static str,
}

/// Faults of the joint between lid and cooler.
pub const JOINT: Neighbours = Neighbours {
    what: "the joint between lid and cooler",
    ids: &["poor-contact", "dried-paste", "tilted"],
    check: "The cooler has to come off for any of them: let it cool, unplug the machine, lift the cooler straight up and look at the print. A \
            small patch or bare metal: too little paste or pressure. Thin at one edge and thick at the other: tilted. Full, dry and crumbling: old.",
};

/// The cooler, or the air that it gets.
pub const AIR: Neighbours = Neighbours {
    what: "the cooler, or the air in the case",
    ids: &["slow-fan", "starved-case"],
    check: "This log alone cannot tell the cooler from the air in the case. Read a thermometer at the cooler's air inlet at the end of the load and \
            say so (`--case-air \"38 °C\"`), or repeat the soak with the side of the case open and give both logs (`--open SECOND-LOG`).",
};

/// Both.
pub const NEIGHBOURS: [Neighbours; 2] = [JOINT, AIR];

impl Fault {
    /// Whether it is a fault of the joint between lid and cooler.
    pub fn is_of_the_joint(&self) -> bool {
        JOINT.ids.contains(&self.id)
    }
}

impl Fault {
    /// Whether a machine that has it does not do what it should; a limit that the maker sets is none of that.
    pub fn is_a_failing(&self) -> bool {
        self.id != power_limit::FAULT.id
    }
}

/// A fault's ranges in a machine that it brings to its junction limit, and in one that has room left: each as likely. That the limit holds the
/// clock and that nothing is left to it are one thing, seen twice.
pub fn hot_or_not(ranges: &[Range], most_left_k: f64) -> Vec<Vec<Range>> {
    let hot = [Sign::HeldByJunction.from_to(0.02, 1.0), Sign::Margin.from_to(-3.0, most_left_k)];
    vec![ranges.to_vec(), ranges.iter().copied().chain(hot).collect()]
}

/// All faults.
pub const FAULTS: [Fault; 12] = [
    poor_contact::FAULT,
    dried_paste::FAULT,
    tilted::FAULT,
    weak_cooler::FAULT,
    slow_fan::FAULT,
    starved_case::FAULT,
    pump_stopped::FAULT,
    power_limit::FAULT,
    stage_throttling::FAULT,
    firmware_limits::FAULT,
    unstable_light::FAULT,
    unstable_full::FAULT,
];

/// Chance that nothing is wrong, before the log.
///
/// # Source
/// common practice, no source: more machines come to a bench with something wrong than leave it so.
pub const fn nothing_wrong(expected: &Expected) -> f64 {
    if expected.fresh_joint { 0.6 } else { 0.4 }
}
