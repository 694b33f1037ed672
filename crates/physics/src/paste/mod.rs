//! Squeeze flow of paste between lid and base.
