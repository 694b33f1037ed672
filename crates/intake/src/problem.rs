//! What is wrong in a file, and where.

use core::ops::Range;

/// A file that was read: its name and its bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SourceFile {
    /// Name as the person knows it.
    pub name: String,
    /// Content.
    pub bytes: Vec<u8>,
}

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The value, or the part it belongs to, is left out.
    Error,
    /// It is read, but looks wrong.
    Warning,
}

impl Severity {
    /// The word that is printed.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Error => "error",
            Self::Warning => "warning",
        }
    }
}

/// A problem with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Name of the file.
    pub file: String,
    /// Bytes of the file that it is about; empty at its end or where it is about the whole.
    pub span: Range<usize>,
    /// Line, from one.
    pub line: usize,
    /// Column, from one, in characters.
    pub column: usize,
    /// Field, as `board.stages.count`; empty where it is about the whole file.
    pub field: String,
    /// How bad it is.
    pub severity: Severity,
    /// What is wrong, and what was expected.
    pub message: String,
    /// What to do about it.
    pub help: Option<String>,
}

/// Where problems of one file are collected.
#[derive(Debug)]
pub struct Problems<'s> {
    name: &'s str,
    text: &'s str,
    /// Everything found so far.
    pub found: Vec<Problem>,
    /// Names of required fields that are not there, where those are wanted instead of problems.
    pub missing: Option<Vec<String>>,
}

/// No file is reported with more problems than this; the last one says that there are more.
pub const MOST_PROBLEMS: usize = 200;

impl<'s> Problems<'s> {
    /// An empty collection for a file.
    pub const fn new(name: &'s str, text: &'s str) -> Self {
        Self { name, text, found: Vec::new(), missing: None }
    }

    /// An empty collection for tables that need not be complete: required fields that are not there are
    /// collected by name and are no problems.
    pub const fn of_sketches(name: &'s str, text: &'s str) -> Self {
        Self { name, text, found: Vec::new(), missing: Some(Vec::new()) }
    }

    /// Adds an error.
    pub fn error(&mut self, span: Range<usize>, field: &str, message: String, help: Option<String>) {
        self.add(span, field, Severity::Error, message, help);
    }

    /// Adds a problem of any severity.
    pub fn add(
        &mut self,
        span: Range<usize>,
        field: &str,
        severity: Severity,
        message: String,
        help: Option<String>,
    ) {
        if self.found.len() >= MOST_PROBLEMS {
            return;
        }
        let (line, column) = line_and_column(self.text, span.start);
        self.found.push(Problem {
            file: self.name.to_owned(),
            span,
            line,
            column,
            field: field.to_owned(),
            severity,
            message,
            help,
        });
    }
}

/// Line and column of a byte, both from one.
pub fn line_and_column(text: &str, byte: usize) -> (usize, usize) {
    let mut end = byte.min(text.len());
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let before = text.get(..end).unwrap_or("");
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().map_or(0, |last| last.chars().count()) + 1;
    (line, column)
}
