//! The local page for the bench.
