//! The job sheet: the ordered, checkable steps of one route, with cautions, tools and stop points.
//!
//! Each step says what must hold before it and what holds after it ([`fact::Fact`]); the order
//! follows from that ([`order`]), and is checked against it for every route.

pub mod caution;
pub mod fact;
pub mod first_start;
pub mod order;
pub mod sheet_of;
pub mod step;
pub mod steps;
