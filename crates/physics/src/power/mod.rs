//! The power path: multi-phase step-down converter, losses, temperatures, limits.

pub mod losses;
pub mod open_loop;
pub mod ripple;
