//! What is kept of machines and jobs: in one SQLite file, or on a PostgreSQL server that several benches share.
//!
//! A change is on the disk before the call that made it returns, one transaction for each call, one change at a time.
//! Nothing that was entered is overwritten: records keep every text they had, and a job's entries are only ever added.
//! The time comes in as an argument.
//!
//! To keep a new kind of thing: a file with its `impl Store`, whose statements both kinds of database understand
//! ([`Store::list`](open::Store) to look, `change` to write, cells as `?1`); a step in both folders of `migrations` and
//! in `migrate`; its table in `backup` and `restore`. The tests run on both.

pub mod backup;
pub mod database;
pub mod entry;
pub mod job;
pub mod machine;
pub mod migrate;
pub mod open;
pub mod parts;
pub mod photo;
pub mod place;
pub mod restore;
mod server;
pub mod soak_log;
mod sqlite;
mod value;
