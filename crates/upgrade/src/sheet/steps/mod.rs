//! The steps, by what they are about. Each function makes one step for one job.

pub mod board;
pub mod closing;
pub mod cooler;
pub mod memory;
pub mod opening;
pub mod paste;
pub mod preparing;
pub mod processor;
pub mod proving;
pub mod supply;
