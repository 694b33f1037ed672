//! Answers as JSON, for programs. Every quantity is a text with its unit, as in the files people write.

pub mod finding;
pub mod fleet;
pub mod handover;
pub mod heat;
pub mod import;
pub mod paste;
pub mod plan;
pub mod power;
pub mod proof;
pub mod route;
pub mod sheet;
pub mod verify;
