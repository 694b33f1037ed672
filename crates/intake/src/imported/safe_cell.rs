//! Cells that a spreadsheet program would take for a formula, written so that it does not.
//!
//! # Source
//! OWASP, "CSV Injection": a cell that begins with `=`, `+`, `-`, `@`, a tab or a line end may be calculated; an
//! apostrophe before it makes it text.

use std::borrow::Cow;

fn is_armed(text: &str) -> bool {
    text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n', '\''])
}

/// The cell with an apostrophe before what could be a formula.
pub fn disarm(text: &str) -> Cow<'_, str> {
    if is_armed(text) { Cow::Owned(format!("'{text}")) } else { Cow::Borrowed(text) }
}

/// What was disarmed as it was before.
pub fn rearm(text: &str) -> &str {
    match text.strip_prefix('\'') {
        Some(rest) if is_armed(rest) => rest,
        _ => text,
    }
}

#[cfg(test)]
mod tests {
    use super::{disarm, rearm};

    #[test]
    fn a_formula_becomes_text_and_comes_back() {
        for text in ["=1+1", "+1", "-0.2 K/W", "@sum", "'=1", "'quoted'", "plain", ""] {
            assert_eq!(rearm(&disarm(text)), text);
            assert!(!disarm(text).starts_with(['=', '+', '-', '@']));
        }
    }
}
