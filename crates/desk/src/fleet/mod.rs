//! Fleets: taking machines in from records, captures and tables, and giving the plan out as tables and job sheets.

pub mod demo;
pub mod problems;
pub mod sheets;
pub mod table;
pub mod take_in;
pub mod terms;
