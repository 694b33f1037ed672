//! Sensors of the running machine, or of a tree of files that stands for it: found once, then read many times a second.

pub mod channel;
pub mod choice;
pub mod counters;
pub mod find;
pub mod limit;
pub mod sampler;
