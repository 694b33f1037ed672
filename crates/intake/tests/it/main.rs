//! Reading parts and machine files: what is accepted, what is refused and how it is told.
mod fleet_table;
mod library;
mod lint;
mod machine;
mod report;
mod schema;
mod seen_tasks;
mod soak_log;
