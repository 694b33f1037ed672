//! Lists from elsewhere into a parts library: processors, memory, prices.
//!
//! A list is bytes ([`source`]); a [`mapping::Mapping`] says which column is which field; [`preview::preview`] compares
//! the rows with a library and says what would change; [`shelf`] writes that beside the library in one step, and
//! takes it back. Nothing in a cell is ever carried out: a formula is text.

pub mod cell;
mod compare;
pub mod digest;
pub mod export;
pub mod guess;
pub mod identity;
pub mod limits;
pub mod mapping;
pub mod mapping_text;
pub mod number;
pub mod preview;
pub mod row;
pub mod shelf;
pub mod source;
pub mod tables;
pub mod target;
pub mod unit;
