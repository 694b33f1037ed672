//! Thermal networks and their identification from step responses and sensor logs.

pub mod cauer;
pub mod foster;
pub mod ladder;
