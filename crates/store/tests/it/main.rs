//! Tests of the store.
#![expect(clippy::unwrap_used, clippy::panic, reason = "a test that cannot unwrap has failed")]

mod crash;
mod files;
mod fresh;
mod keeping;
mod two_devices;
