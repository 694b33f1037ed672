//! The job's domain: parts, machines, fit, gain, routes, job sheets, proof and record.
//!
//! Pure: values in, values and findings out. Parts and machines carry no file format.

pub mod carry;
pub mod fit;
pub mod front;
pub mod gain;
pub mod machine;
pub mod part;
pub mod proof;
pub mod record;
pub mod route;
pub mod sheet;
