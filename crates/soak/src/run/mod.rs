//! A run: workers under a schedule, rows read, the guard asked, the log written, whoever watches told.

pub mod conductor;
pub mod csv_log;
pub mod head;
pub mod own;
pub mod plan;
pub mod words;
pub mod worker;
