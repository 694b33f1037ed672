//! Many machines at once: which of them are worth an upgrade under one budget and so many hours at the bench.
//!
//! [`group`] puts alike machines together, [`ways`] finds what could be done to one of each group by the exact search for
//! one machine, [`choose`] picks by integer programming, [`order`] says which machine comes when, since a processor that
//! moves comes out before it goes in. [`plan`] does all of it. No network; the solver's time limit is the only
//! clock, and only [`in_parts`] reads a file.

pub mod answer;
pub mod choose;
pub mod curve;
pub mod donor;
pub mod group;
pub mod in_parts;
mod narrow;
pub mod order;
pub mod plan;
mod start;
pub mod terms;
pub mod ways;
