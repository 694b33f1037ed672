//! The sustained operating point: leakage, runaway and the clock that binds.
