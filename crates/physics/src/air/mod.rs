//! The air around a machine: its density at a height, and how well it takes heat from a face.

pub mod density;
pub mod film;
