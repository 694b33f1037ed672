//! The counters that processor and memory controllers have in hardware, through the kernel's calls for them.
//!
//! Nothing is sampled and nothing is read of what the tasks are: counters rise, and are looked at when somebody asks.

pub mod call;
pub mod controllers;
pub mod cores;
pub mod described;
pub mod refused;
