//! The program as its users run it.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
mod borders;
mod commands;
mod fleet;
mod mistakes;
mod observe;
mod pictures;
mod run;
mod soak;
mod store;
mod two_pages;
