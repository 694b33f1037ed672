//! The parts library: what can go into a machine, each figure with its origin.

pub mod board;
pub mod case;
pub mod chipset;
pub mod cooler;
pub mod id;
pub mod library;
pub mod memory;
pub mod offer;
pub mod paste;
pub mod price_history;
pub mod processor;
pub mod socket;
pub mod supply;
