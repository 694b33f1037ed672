//! Tables of named, typed columns whose cells may be unknown, with notes beside them, as Parquet files.
//!
//! A file holds one table in row groups. [`write::Writer`] takes one row group at a time, so that a long log never stands
//! in memory whole; [`read::Reader`] gives one row group at a time. [`write::table`] and [`read::table`] do all at once.
//! An unknown cell is `None`, and so is a number that is none (NaN).

mod contained;
pub mod limits;
pub mod read;
mod stored;
pub mod table;
pub mod write;
