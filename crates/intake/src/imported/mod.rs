//! What imports have brought into a library: folders of plain tables beside the library's own files.
//!
//! `imports/0007/processors.csv` holds the figures that the seventh import took, `imports/0007/prices.csv` its prices,
//! `imports/0007/import.toml` where they come from. Later imports win over earlier ones, and what stands in the
//! library's own files wins over all of them. A row that says too little to be a part of its kind is kept as a sketch.

pub mod gather;
pub mod note;
pub mod origin;
pub mod place;
pub mod prices;
pub mod safe_cell;
