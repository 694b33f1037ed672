//! Loads the processor with work whose results are checked, watches its sensors, stops in time, and logs.
//!
//! The only crate with `unsafe`: vector instructions, the threads' places and clocks, counters, and signals. Every block says
//! why it is sound.
#![expect(
    unsafe_code,
    reason = "vector instructions and the kernel's calls; each block says why it is sound"
)]
#![warn(clippy::undocumented_unsafe_blocks)]

mod aligned;
pub mod counting;
pub mod dip;
pub mod guard;
pub mod kernel;
mod lanes;
pub mod processor;
pub mod run;
pub mod schedule;
pub mod sensors;
pub mod signal;
pub mod watcher;
pub mod width;
