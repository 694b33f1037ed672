//! Closed forms for spreading resistance.

pub mod channel;
pub mod disc;
