//! One file a verb: reads what it needs, calls the desk, prints.

pub(crate) mod chart;
pub(crate) mod check;
pub(crate) mod completion;
pub(crate) mod file;
pub(crate) mod fleet;
pub(crate) mod handover;
pub(crate) mod heat;
pub(crate) mod job;
pub(crate) mod lid;
pub(crate) mod lists;
pub(crate) mod load;
pub(crate) mod log;
pub(crate) mod machine;
pub(crate) mod observe;
pub(crate) mod page;
pub(crate) mod parts;
pub(crate) mod paste;
pub(crate) mod picture;
pub(crate) mod plan;
pub(crate) mod power;
pub(crate) mod schema;
pub(crate) mod sheet;
pub(crate) mod soak;
pub(crate) mod store;
pub(crate) mod survey;
pub(crate) mod verify;
