//! What a soak shows: the heat path found in a log, what is wrong with it, and after against before.

pub mod belief;
pub mod case_air;
pub mod compare;
pub mod criterion;
pub mod diagnose;
pub mod expected;
pub mod fault;
pub mod log;
pub mod path;
pub mod proven;
pub mod rows;
pub mod settled;
pub mod sign;
pub mod signs_of;
pub mod slope;
pub mod soak;
pub mod still;
pub mod stretch;
