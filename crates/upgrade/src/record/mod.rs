//! What is kept of a job; its printed form is the hand-over.

pub mod handover;
