//! The supply: efficiency over load and power at the wall.

pub mod certificate;
