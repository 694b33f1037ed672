//! What is kept of machines and jobs, in one SQLite file.
//!
//! A change is on the disk before the call that made it returns: write-ahead log, synchronous to the
//! full, one transaction for each call. Nothing that was entered is overwritten: records keep every text
//! they had, and a job's entries are only ever added. The time comes in as an argument.

pub mod backup;
pub mod entry;
pub mod job;
pub mod machine;
pub mod migrate;
pub mod open;
pub mod parts;
pub mod photo;
pub mod restore;
pub mod soak_log;
