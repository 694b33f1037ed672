//! Tests of the store.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot unwrap has failed")]

mod crash;
mod files;
mod forward;
mod fresh;
mod full_disk;
mod keeping;
mod lost;
#[cfg(target_os = "linux")]
mod power_cut;
mod two_devices;
