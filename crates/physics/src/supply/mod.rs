//! The supply: efficiency over load, power at the wall, and how long it holds.

pub mod certificate;
pub mod curve;
pub mod hold;
