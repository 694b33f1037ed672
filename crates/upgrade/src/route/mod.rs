//! Routes: sets of changes that take the machine from now to after, and which of them are worth it.

pub mod bench_time;
pub mod money;
pub mod options;
pub mod risk;
pub mod score;
pub mod search;
pub mod thermal;
