//! Heat conduction in a stack of layers, solved in three dimensions.

mod assembly;
mod columns;
mod conjugate;
mod cycle;
pub mod grid;
mod layout;
mod level;
mod outline;
mod product;
mod products;
mod runs;
pub mod stack;
pub mod steady;
pub mod transient;
