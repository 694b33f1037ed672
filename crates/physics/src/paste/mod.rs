//! Squeeze flow of paste between lid and base.

pub mod bingham;
pub mod bond_line;
mod carried;
mod colours;
mod contact;
mod fall;
mod field;
pub mod film;
pub mod gap_shape;
pub mod input;
pub mod pattern;
pub mod pockets;
pub mod press;
mod pressure;
pub mod rheology;
mod spread;
mod start;
pub mod stefan;
mod step;
pub mod tightening;
pub mod yield_limit;
mod yielding;
