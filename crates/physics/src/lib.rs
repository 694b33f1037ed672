//! The physics of one computer: power path, heat path, paste, operating point, networks, scaling.
//!
//! Knows no parts and no files; every answer is a plain value. Kernels compute in `f64` with the
//! unit in the name; public signatures carry typed quantities or structs whose fields name units.

pub mod air;
pub mod conduction;
pub mod cooler;
pub mod discharge;
pub mod dot;
pub mod network;
pub mod paste;
pub mod point;
pub mod power;
pub mod refusal;
pub mod regression;
pub mod scaling;
pub mod spreading;
pub mod supply;
pub mod transient;
