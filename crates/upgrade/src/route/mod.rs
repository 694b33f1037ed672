//! Routes: sets of changes that take the machine from now to after, and which of them are worth it.

pub mod bench_time;
pub mod detail;
pub mod money;
pub mod named;
pub mod near_miss;
pub mod open_question;
pub mod options;
pub mod pick;
pub mod plan;
pub mod price_turn;
pub mod risk;
pub mod robust;
pub mod score;
pub mod search;
pub mod thermal;
