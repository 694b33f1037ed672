//! Reading one kind of part each.

pub mod board;
pub mod case;
pub mod chipset;
pub mod cooler;
pub mod memory;
pub mod offer;
pub mod paste;
pub mod processor;
pub mod socket;
pub mod supply;
pub mod words;
