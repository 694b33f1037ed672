//! Problems as text, with the line they are about and a mark under the place.

use crate::problem::{Problem, Severity, SourceFile};

/// Longest part of a source line that is shown.
const LONGEST_LINE: usize = 100;

/// The problems, in the order of files and lines, and a closing count.
pub fn text(problems: &[Problem], files: &[SourceFile]) -> String {
    let mut sorted: Vec<&Problem> = problems.iter().collect();
    sorted.sort_by(|a, b| (&a.file, a.line, a.column).cmp(&(&b.file, b.line, b.column)));
    let mut out = String::new();
    for problem in sorted {
        let source = files.iter().find(|file| file.name == problem.file);
        out.push_str(&one(problem, source));
    }
    let errors = problems.iter().filter(|problem| problem.severity == Severity::Error).count();
    let warnings = problems.len() - errors;
    let many = |count: usize, word: &str| format!("{count} {word}{}", if count == 1 { "" } else { "s" });
    out.push_str(&format!("{}, {}\n", many(errors, "error"), many(warnings, "warning")));
    out
}

fn one(problem: &Problem, source: Option<&SourceFile>) -> String {
    let field = if problem.field.is_empty() { String::new() } else { format!("  [{}]", problem.field) };
    let mut out = format!(
        "{}: {}\n  --> {}:{}:{}{field}\n",
        problem.severity.word(),
        printable(&problem.message),
        printable(&problem.file),
        problem.line,
        problem.column
    );
    let text = source.and_then(|file| core::str::from_utf8(&file.bytes).ok());
    if let Some(line) = text.and_then(|text| text.lines().nth(problem.line.saturating_sub(1))) {
        let number = problem.line.to_string();
        let from = problem.column.saturating_sub(LONGEST_LINE * 2 / 3);
        let shown: String = line.chars().skip(from).take(LONGEST_LINE).map(plain).collect();
        let before = problem.column.saturating_sub(1).saturating_sub(from);
        let span_text = text.and_then(|text| text.get(problem.span.clone())).unwrap_or("");
        let marked = span_text.lines().next().map_or(0, |first| first.chars().count());
        let room = shown.chars().count().saturating_sub(before).max(1);
        out.push_str(&format!("  {number} | {shown}\n"));
        out.push_str(&format!(
            "  {} | {}{}\n",
            " ".repeat(number.len()),
            " ".repeat(before),
            "^".repeat(marked.clamp(1, room))
        ));
    }
    if let Some(help) = &problem.help {
        out.push_str(&format!("  do: {}\n", printable(help)));
    }
    out
}

/// A character that cannot move the cursor or turn the writing.
fn plain(c: char) -> char {
    let turns = matches!(c, '\u{200e}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
    if c == '\t' {
        ' '
    } else if c.is_control() || turns {
        '\u{fffd}'
    } else {
        c
    }
}

/// A text without control characters: what a file holds must not move the cursor.
fn printable(text: &str) -> String {
    text.chars().map(plain).collect()
}
