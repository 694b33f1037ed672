//! What a soak shows: the heat path found in a log, what is wrong with it, and after against before.

pub mod log;
