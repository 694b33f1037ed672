//! A document of headings, paragraphs and tables: what is printed as a page and as PDF alike.

use crate::table::Table;

/// One block of a document.
#[derive(Debug, Clone, PartialEq)]
pub enum Block {
    /// A heading.
    Heading(String),
    /// A paragraph.
    Text(String),
    /// A short label, and what it says.
    Labelled(String, String),
    /// One item of a list.
    Item(String),
    /// A table.
    Table(Table),
    /// A box that was ticked or not, with its text.
    Ticked(bool, String),
    /// A line to write on, with its label.
    Line(String),
    /// A picture as SVG, with what it says in words.
    Picture(String, String),
}

/// A document.
#[derive(Debug, Clone, PartialEq)]
pub struct Document {
    /// Title.
    pub title: String,
    /// Blocks in their order.
    pub blocks: Vec<Block>,
}
