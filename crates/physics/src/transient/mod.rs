//! Closed forms for transient conduction.

pub mod flux_wall;
pub mod plane_wall;
pub mod roots;
pub mod semi_infinite;
