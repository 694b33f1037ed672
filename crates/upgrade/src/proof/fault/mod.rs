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
use crate::proof::sign::Range;

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

impl Fault {
    /// Whether it is a fault of the joint between lid and cooler.
    pub fn is_of_the_joint(&self) -> bool {
        [poor_contact::FAULT.id, dried_paste::FAULT.id, tilted::FAULT.id].contains(&self.id)
    }
}

impl Fault {
    /// Whether a machine that has it does not do what it should; a limit that the maker sets is none of that.
    pub fn is_a_failing(&self) -> bool {
        self.id != power_limit::FAULT.id
    }
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
