//! A document as terminal text.

use crate::document::{Block, Document};
use crate::paint::{Paint, Role};
use crate::wrap::wrap;

/// The document.
pub fn text(document: &Document, width: usize, paint: Paint) -> String {
    format!("{}\n{}", paint.text(Role::Heading, &document.title), blocks(&document.blocks, width, paint))
}

/// Blocks alone, where a title stands elsewhere or nowhere.
pub fn blocks(list: &[Block], width: usize, paint: Paint) -> String {
    let mut out = String::new();
    for block in list {
        let lines = match block {
            Block::Heading(words) => {
                out.push('\n');
                out.push_str(&paint.text(Role::Heading, &wrap(words, width, 0).join("\n")));
                out.push('\n');
                continue;
            }
            Block::Table(table) => {
                out.push_str(&table.render(width));
                continue;
            }
            Block::Text(words) => wrap(words, width, 0),
            Block::Labelled(label, words) => wrap(&format!("{label}: {words}"), width, 2),
            Block::Item(words) => wrap(&format!("- {words}"), width, 2),
            Block::Ticked(done, words) => {
                wrap(&format!("[{}] {words}", if *done { "x" } else { " " }), width, 4)
            }
            Block::Picture(_, words) => wrap(&format!("Picture: {words}"), width, 2),
            Block::Line(label) => vec![format!("{label} {}", "_".repeat(30))],
        };
        out.push_str(&lines.join("\n"));
        out.push('\n');
    }
    out
}
