//! Squeeze flow of paste between lid and base.

pub mod bingham;
pub mod bond_line;
mod contact;
mod field;
pub mod gap_shape;
pub mod pattern;
pub mod pockets;
pub mod press;
mod pressure;
pub mod rheology;
pub mod stefan;
pub mod tightening;
pub mod yield_limit;
