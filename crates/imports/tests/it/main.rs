//! Imports as a whole: lists in, a library's folder out.

#![expect(clippy::unwrap_used, clippy::panic, reason = "what a test sets up fails loudly")]

mod disk;
mod formats;
mod hostile;
mod library;
mod world;
