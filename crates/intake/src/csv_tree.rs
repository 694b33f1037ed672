//! A CSV table of parts as a tree with places: one part a row, `fans.noise` for a nested field.

use core::ops::Range;

use crate::node::{Node, Table, Value};
use crate::problem::Problems;

/// The rows of a CSV text as tables. Rows that do not match the heading are reported and left out.
pub fn parse(text: &str, problems: &mut Problems<'_>) -> Vec<Node> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(text.as_bytes());
    let mut heading: Option<Vec<String>> = None;
    let mut rows = Vec::new();
    let mut record = csv::StringRecord::new();
    loop {
        let start = usize::try_from(reader.position().byte()).unwrap_or(0);
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                problems.error(start..start, "", format!("this is not CSV: {error}"), None);
                break;
            }
        }
        let end = usize::try_from(reader.position().byte()).unwrap_or(text.len()).min(text.len());
        let line = start_of_line(text, start)..end;
        let Some(names) = &heading else {
            let names: Vec<String> = record.iter().map(|name| name.trim().to_owned()).collect();
            let mut seen = std::collections::BTreeSet::new();
            for name in &names {
                if !seen.insert(name) {
                    problems.error(line.clone(), name, format!("the column \"{name}\" stands twice"), None);
                }
            }
            heading = Some(names);
            continue;
        };
        if record.len() != names.len() {
            problems.error(
                line,
                "",
                format!("this row has {} cells, the heading has {}", record.len(), names.len()),
                Some("a cell with a comma in it stands between double quotes".to_owned()),
            );
            continue;
        }
        let mut table = Table::default();
        for (name, cell) in names.iter().zip(&record) {
            let cell = cell.trim();
            if !cell.is_empty() && !name.is_empty() {
                let span = cell_span(text, &line, cell);
                insert(&mut table, name, Node { span, value: Value::Cell(cell.to_owned()), origin: None });
            }
        }
        if !table.entries.is_empty() {
            rows.push(Node { span: line, value: Value::Table(table), origin: None });
        }
    }
    rows
}

/// The first byte at or after `start` that is no line end.
fn start_of_line(text: &str, start: usize) -> usize {
    let rest = text.get(start..).unwrap_or("");
    start + (rest.len() - rest.trim_start_matches(['\r', '\n']).len())
}

/// Place of a cell in its line: its first occurrence, which is right but for repeated cells.
fn cell_span(text: &str, line: &Range<usize>, cell: &str) -> Range<usize> {
    match text.get(line.clone()).and_then(|row| row.find(cell)) {
        Some(offset) => line.start + offset..line.start + offset + cell.len(),
        None => line.clone(),
    }
}

fn insert(table: &mut Table, name: &str, node: Node) {
    match name.split_once('.') {
        None => {
            table.entries.insert(name.to_owned(), (node.span.clone(), node));
        }
        Some((first, rest)) => {
            let span = node.span.clone();
            let (_, inner) = table.entries.entry(first.to_owned()).or_insert_with(|| {
                (span.clone(), Node { span, value: Value::Table(Table::default()), origin: None })
            });
            if let Value::Table(inner) = &mut inner.value {
                insert(inner, rest, node);
            }
        }
    }
}
