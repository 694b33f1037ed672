//! Heat conduction in a stack of layers, solved in three dimensions.

mod conjugate;
mod cycle;
pub mod grid;
mod level;
mod runs;
pub mod stack;
pub mod steady;
pub mod transient;
