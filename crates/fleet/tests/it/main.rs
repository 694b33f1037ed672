//! Fleets: the choice against enumeration, the order of moving parts, a district out of the demo's library.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
mod choice;
mod district;
mod moving;
mod parts;
