//! One cell of a list.

use std::borrow::Cow;

use quantity::day::Day;

/// What a cell holds.
#[derive(Debug, Clone, PartialEq)]
pub enum Cell<'c> {
    /// Nothing.
    Empty,
    /// Text as it stands there; a formula is text too.
    Text(Cow<'c, str>),
    /// A number of a spreadsheet, whose marks are known.
    Number(f64),
    /// A day of a spreadsheet.
    Day(Day),
    /// Something that is no value: what a spreadsheet's formula failed with.
    Failed(&'static str),
}

impl Cell<'_> {
    /// As text, for headings, names and messages; control characters are blanks.
    pub fn text(&self) -> String {
        match self {
            Self::Empty => String::new(),
            Self::Text(text) => plain(text),
            Self::Number(number) => number.to_string(),
            Self::Day(day) => day.to_string(),
            Self::Failed(what) => (*what).to_owned(),
        }
    }

    /// Whether nothing, or nothing but blanks and marks for nothing, is in it.
    pub fn is_empty(&self) -> bool {
        match self {
            Self::Empty => true,
            Self::Text(text) => {
                let text = text.trim();
                text.is_empty()
                    || [
                        "-", "--", "–", "—", "?", "n/a", "na", "nan", "null", "none", "tbd", "unknown",
                        "#n/a",
                    ]
                    .iter()
                    .any(|nothing| text.eq_ignore_ascii_case(nothing))
            }
            _ => false,
        }
    }
}

/// A text in one line, without control characters or marks that turn the writing, blanks made single.
pub fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        let turns = matches!(
            c,
            '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{2069}' | '\u{feff}'
        );
        if turns {
            continue;
        }
        if c.is_control() || c.is_whitespace() {
            if !out.is_empty() && !out.ends_with(' ') {
                out.push(' ');
            }
        } else {
            out.push(c);
        }
    }
    if out.ends_with(' ') {
        out.pop();
    }
    out
}
