//! How work speeds up with more cores: fixed-size, scaled-size and universal scaling laws.

pub mod fit;
pub mod fixed_and_scaled;
pub mod universal;
