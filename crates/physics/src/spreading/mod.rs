//! Closed forms for spreading resistance.
