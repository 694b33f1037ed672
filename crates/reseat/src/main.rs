//! Command line of reseat.
fn main() {}
