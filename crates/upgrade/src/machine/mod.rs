//! One desktop computer on the bench, what it does, and what its owner wants.

pub mod loads;
pub mod present;
pub mod proposal;
pub mod setting;
pub mod software;
pub mod wishes;
pub mod workload;
