//! Fit: what a good technician checks, one rule a file.

pub mod finding;
