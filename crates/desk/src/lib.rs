//! One function per verb: what the command line and the page both call.

pub mod verify;
