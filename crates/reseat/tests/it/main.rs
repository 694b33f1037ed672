//! The program as its users run it.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
mod borders;
mod commands;
mod mistakes;
mod pictures;
mod run;
mod store;
mod two_pages;
