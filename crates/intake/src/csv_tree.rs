//! A CSV table of parts as a tree with places: one part a row, `fans.noise` for a nested field, `cores[1].count` for
//! a field of the first of a list.

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

/// Longest list that a heading can count into.
const LONGEST_LIST: usize = 16;

/// `cores[2]` as its name and the place in the list, counted from nothing.
fn step(text: &str) -> (&str, Option<usize>) {
    let listed = text.strip_suffix(']').and_then(|text| text.split_once('['));
    match listed.and_then(|(name, number)| Some((name, number.parse::<usize>().ok()?.checked_sub(1)?))) {
        Some((name, place)) if place < LONGEST_LIST => (name, Some(place)),
        _ => (text, None),
    }
}

/// Puts a value into a table at a path such as `fans.noise` or `cores[1].count`.
pub fn insert(table: &mut Table, name: &str, node: Node) {
    let Some((first, rest)) = name.split_once('.') else {
        table.entries.insert(name.to_owned(), (node.span.clone(), node));
        return;
    };
    let (first, place) = step(first);
    let span = node.span.clone();
    let empty = |value| Node { span: span.clone(), value, origin: None };
    let (_, inner) = table.entries.entry(first.to_owned()).or_insert_with(|| {
        let value = match place {
            None => Value::Table(Table::default()),
            Some(_) => Value::List(Vec::new()),
        };
        (span.clone(), empty(value))
    });
    match (&mut inner.value, place) {
        (Value::Table(inner), None) => insert(inner, rest, node),
        (Value::List(list), Some(place)) => {
            while list.len() <= place {
                list.push(empty(Value::Table(Table::default())));
            }
            if let Some(Value::Table(inner)) = list.get_mut(place).map(|item| &mut item.value) {
                insert(inner, rest, node);
            }
        }
        // A heading that names one field both as a table and as a list: the first stands.
        _ => {}
    }
}

/// The plain value at a path, where there is one.
pub fn value_at<'t>(table: &'t Table, path: &str) -> Option<&'t Node> {
    let Some((first, rest)) = path.split_once('.') else {
        return table.entries.get(path).map(|(_, node)| node);
    };
    let (first, place) = step(first);
    match (&table.entries.get(first)?.1.value, place) {
        (Value::Table(inner), None) => value_at(inner, rest),
        (Value::List(list), Some(place)) => match &list.get(place)?.value {
            Value::Table(inner) => value_at(inner, rest),
            _ => None,
        },
        _ => None,
    }
}
