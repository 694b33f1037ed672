//! How much of a list is read: enough for any honest one, little enough that a hostile one cannot fill the memory.
//!
//! # Source
//! common practice, no source.

/// Largest text file, in bytes.
pub const LARGEST_TEXT: usize = 256 << 20;
/// Largest spreadsheet or query result, in bytes as it lies on the disk.
pub const LARGEST_PACKED: usize = 64 << 20;
/// Largest content of a spreadsheet, in bytes once unpacked, all its files together.
pub const LARGEST_UNPACKED: u64 = 256 << 20;
/// Most files in a spreadsheet's archive.
pub const MOST_ENTRIES: usize = 10_000;
/// Most rows.
pub const MOST_ROWS: usize = 1_000_000;
/// Most columns.
pub const MOST_COLUMNS: usize = 500;
/// Most cells with something in them that are kept of a spreadsheet or query result.
pub const MOST_CELLS: usize = 4_000_000;
/// Longest cell, in bytes.
pub const LONGEST_CELL: usize = 10_000;
/// Longest text that a part keeps, in characters.
pub const LONGEST_TEXT: usize = 200;
