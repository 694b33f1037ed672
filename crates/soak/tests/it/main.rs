//! Loads, sensors and runs, against what is known of them from outside.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
mod kernels;
mod runs;
mod sampling;
mod tree;
