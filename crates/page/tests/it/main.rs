//! The page through its router, without a browser.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod bench;
mod borders;
mod door;
mod fleets;
mod hostile;
mod lists;
mod observing;
mod phone;
mod photos;
mod proofs;
mod soaking;
mod ticking;
mod two_benches;
mod working;
