//! Documents as PDF, pictures as PNG.
//!
//! [`print::pdf`] sets a [`draw::document::Document`] on pages of A4 or Letter, with its own fonts inside the file.

mod letters;
pub mod png;
pub mod print;
mod sheet;
mod vector;
