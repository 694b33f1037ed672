//! Reading and printing of quantities and money, against an independent units library.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
mod factors;
mod written;
