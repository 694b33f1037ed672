//! Reading parts and machine files: what is accepted, what is refused and how it is told.
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]
mod library;
mod lint;
mod machine;
mod report;
mod schema;
