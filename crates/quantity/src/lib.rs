//! Physical quantities with their units, intervals, unknowns, origins and money.
//!
//! A [`measure::Quantity`] is one number in SI units whose dimension is part of its type. A
//! [`interval::Interval`] is all that is known of a quantity that is not known exactly. A
//! [`reading::Reading`] says where a value comes from, or that it is unknown.
//!
//! Reading and printing the written form (`"95 W"`, `"85..95 W"`) is in [`text`].

pub mod day;
pub mod dimension;
pub mod interval;
pub mod measure;
pub mod money;
pub mod product;
pub mod reading;
pub mod text;
