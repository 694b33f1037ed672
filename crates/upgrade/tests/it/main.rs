//! The domain against methods that are not its own.
#![expect(clippy::panic, reason = "a test that cannot go on has failed")]
mod integer_programming;
