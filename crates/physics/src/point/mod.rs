//! The sustained operating point: leakage, runaway and the clock that binds.

pub mod burst;
pub mod clock;
pub mod lambert;
pub mod leakage;
