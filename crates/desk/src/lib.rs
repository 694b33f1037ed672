//! One function per verb: what the command line and the page both call.

pub mod chart;
pub mod check;
pub mod fleet;
pub mod json;
pub mod lists;
pub mod prices;
pub mod proof;
pub mod verify;
