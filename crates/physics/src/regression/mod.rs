//! Fitting models that are not linear in their parameters.

pub mod least_squares;
