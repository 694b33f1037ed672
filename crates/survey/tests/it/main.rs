//! Surveys of invented machines, and of anything at all.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod anything;
mod captures;
mod encoder;
mod modules;
mod records;
mod trees;
mod utility;
