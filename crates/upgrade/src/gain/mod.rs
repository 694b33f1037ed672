//! Gain: how much time a change saves for the work this machine does, and what it costs in energy.

pub mod energy;
pub mod memory;
pub mod observed;
pub mod speed;
pub mod task;
