//! The power path: multi-phase step-down converter, losses, temperatures, limits, feed.

pub mod body;
pub mod burst;
pub mod converter;
pub mod core_loss;
pub mod feed;
pub mod limits;
pub mod losses;
pub mod open_loop;
pub mod ripple;
