//! The workload that was seen on a running machine: counted looks become tasks with shares as intervals.

pub mod compact;
pub mod memory;
pub mod share;
pub mod span;
pub mod tasks;
