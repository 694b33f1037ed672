//! The pages, one file each.

pub mod asset;
pub mod bench;
pub mod changes;
pub mod check;
pub mod compare;
pub mod fits;
pub mod fleet;
pub mod handover;
pub mod heat;
pub mod job;
pub mod lid;
pub mod lists;
pub mod machine;
pub mod observe;
pub mod parts;
pub mod paste;
pub mod power;
pub mod progress;
pub mod records;
pub mod routes;
pub mod soak;
pub mod warming;
