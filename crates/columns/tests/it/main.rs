//! Tables as Parquet and back.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

mod bytes;
mod round_trip;
mod strangers;
