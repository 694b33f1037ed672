//! Squeeze flow of paste between lid and base.

pub mod bingham;
pub mod bond_line;
pub mod stefan;
pub mod yield_limit;
