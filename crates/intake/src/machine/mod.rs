//! Machine files: one TOML file describes one machine, its work and its owner's wishes.

pub mod common;
pub mod edit;
pub mod file;
pub mod fitted;
pub mod load;
pub mod rows;
pub mod setting;
pub mod software;
pub mod table;
pub mod task;
pub mod wishes;
