//! The program as its users run it.
mod borders;
