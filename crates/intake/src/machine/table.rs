//! Machines as the rows of a table: a column for each field of the record, called as the record calls it.
//!
//! `processor.id`, `setting.room`, `memory[2].id`, `task[1].name`; `memory.id` is the first of the list, and a part's bare
//! name stands for its id. Cells are written as in the record. An empty cell is unknown.

use core::ops::Range;
use std::collections::BTreeMap;

use upgrade::machine::present::Machine;

use crate::encoding::decode;
use crate::library::ReadLibrary;
use crate::machine::common::{Common, Standing};
use crate::machine::file;
use crate::node::{Node, Table, Value};
use crate::problem::{Problem, Problems, Severity, SourceFile};
use crate::schema;

/// A table as it was read: headings, and rows of as many cells.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Grid {
    /// Headings.
    pub headings: Vec<String>,
    /// Rows.
    pub rows: Vec<GridRow>,
}

/// One row.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct GridRow {
    /// Line of the file on which it begins, or its number, from one.
    pub line: usize,
    /// Byte of the file at which it begins, where the file is text.
    pub start: usize,
    /// The row's text, for places in it.
    pub text: String,
    /// Cells with their places in that text.
    pub cells: Vec<(String, Range<usize>)>,
}

/// A machine of a table, or why a row is none.
#[derive(Debug, Clone, PartialEq)]
pub struct RowRead {
    /// Line or row, from one.
    pub line: usize,
    /// The machine.
    pub machine: Option<Machine>,
    /// What is wrong with it.
    pub problems: Vec<Problem>,
}

/// Largest table that is read, in bytes.
const LARGEST: usize = 1 << 30;

/// The rows of a CSV text. Rows that cannot be taken apart are told and left out; the text is given back as it was read.
pub fn csv(file: &SourceFile) -> (Grid, String, Vec<Problem>) {
    if file.bytes.len() > LARGEST {
        let mut problems = Problems::new(&file.name, "");
        let message = format!("the table has {} bytes, more than {LARGEST} are not read", file.bytes.len());
        problems.error(0..0, "", message, Some("split it into several files".to_owned()));
        return (Grid::default(), String::new(), problems.found);
    }
    let decoded = decode(&file.bytes);
    let text = decoded.text;
    let mut found = Vec::new();
    let mut grid = Grid::default();
    let sign = separator(text.lines().next().unwrap_or(""));
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(sign)
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    // The reader counts line ends, and rows come in order, so that each line is counted once.
    let (mut counted, mut line) = (0_usize, 1_usize);
    let mut guessed = decoded.guessed.iter().peekable();
    loop {
        let from = usize::try_from(reader.position().byte()).unwrap_or(0);
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(error) => {
                let problem =
                    problem(&file.name, line, 1, Severity::Error, format!("this is not CSV: {error}"));
                found.push(problem);
                break;
            }
        }
        let to = usize::try_from(reader.position().byte()).unwrap_or(text.len()).min(text.len());
        let raw = text.get(from..to).unwrap_or("");
        let start = from + (raw.len() - raw.trim_start_matches(['\r', '\n']).len());
        line += text.get(counted..start).unwrap_or("").matches('\n').count();
        counted = start;
        let row = text.get(start..to).unwrap_or("").trim_end_matches(['\r', '\n']);
        while let Some(span) = guessed.next_if(|span| span.start < to) {
            if span.end > start {
                let message = "this line is no UTF-8; it is read as Windows-1252".to_owned();
                let help = "save the table as UTF-8";
                let one = problem(&file.name, line, 1, Severity::Warning, message);
                found.push(Problem { span: span.clone(), help: Some(help.to_owned()), ..one });
            }
        }
        if grid.headings.is_empty() {
            grid.headings = record.iter().map(|name| name.trim().to_owned()).collect();
            continue;
        }
        if record.len() != grid.headings.len() {
            let message =
                format!("this row has {} cells, the heading has {}", record.len(), grid.headings.len());
            let help = if record.len() < grid.headings.len() && to == text.len() {
                "the file ends in the middle of it: it was perhaps not written to its end"
            } else {
                "a cell with the separator in it stands between double quotes"
            };
            let one = problem(&file.name, line, 1, Severity::Error, message);
            found.push(Problem { span: start..start + row.len(), help: Some(help.to_owned()), ..one });
            continue;
        }
        let mut after = 0;
        let cells = record.iter().map(|cell| {
            let cell = cell.trim();
            let place = row.get(after..).and_then(|rest| rest.find(cell)).map_or(after, |at| after + at);
            after = (place + cell.len()).min(row.len());
            (cell.to_owned(), place..after)
        });
        let cells = cells.collect();
        grid.rows.push(GridRow { line, start, text: row.to_owned(), cells });
    }
    if grid.headings.is_empty() {
        found.push(problem(&file.name, 1, 1, Severity::Error, "the table has no heading".to_owned()));
    }
    (grid, text, found)
}

/// The sign between cells, by the heading: whichever stands there most often.
fn separator(first_line: &str) -> u8 {
    let count = |sign: u8| first_line.bytes().filter(|byte| *byte == sign).count();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(|sign| count(*sign)).unwrap_or(b',')
}

fn problem(file: &str, line: usize, column: usize, severity: Severity, message: String) -> Problem {
    Problem {
        file: file.to_owned(),
        span: 0..0,
        line,
        column,
        field: String::new(),
        severity,
        message,
        help: None,
    }
}

/// Where a column's cells go: names with a place in a list.
type Path = Vec<(String, Option<usize>)>;

const PARTS: [&str; 6] = ["processor", "board", "memory", "cooler", "supply", "case"];
const LISTS: [&str; 3] = ["memory", "load", "task"];

/// The path of a heading; none where it names no field of a record.
fn path(heading: &str) -> Option<Path> {
    let mut path = Path::new();
    for piece in heading.split('.') {
        let (name, place) = match piece.split_once('[') {
            None => (piece, None),
            Some((name, rest)) => {
                (name, Some(rest.strip_suffix(']')?.parse::<usize>().ok().filter(|at| *at > 0)?))
            }
        };
        path.push((name.to_owned(), place));
    }
    if let [(only, _)] = path.as_slice()
        && PARTS.contains(&only.as_str())
    {
        path.push(("id".to_owned(), None));
    }
    if let Some((first, place)) = path.first_mut()
        && LISTS.contains(&first.as_str())
    {
        place.get_or_insert(1);
    }
    Some(path)
}

/// Columns that are read, and the problems of headings: those that no record has are passed over with a word.
fn columns(name: &str, grid: &Grid) -> (Vec<Option<Path>>, Vec<Problem>) {
    let known = schema::machine();
    let mut found = Vec::new();
    let mut seen: BTreeMap<Path, usize> = BTreeMap::new();
    let mut paths = Vec::with_capacity(grid.headings.len());
    for (place, heading) in grid.headings.iter().enumerate() {
        let path = path(heading).filter(|path| is_known(&known, path));
        let mut tell = |severity: Severity, message: String| {
            found.push(Problem { field: heading.clone(), ..problem(name, 1, place + 1, severity, message) });
        };
        match path {
            None => {
                let shown = if heading.is_empty() {
                    format!("column {} has no name", place + 1)
                } else {
                    format!("no record has a field \"{heading}\"")
                };
                tell(Severity::Warning, format!("{shown}; its cells are not read"));
                paths.push(None);
            }
            Some(path) if seen.contains_key(&path) => {
                tell(
                    Severity::Error,
                    format!("the column \"{heading}\" stands twice; the first one is read"),
                );
                paths.push(None);
            }
            Some(path) => {
                seen.insert(path.clone(), place);
                paths.push(Some(path));
            }
        }
    }
    (paths, found)
}

/// Whether the record's schema has such a field.
fn is_known(schema: &serde_json::Value, path: &Path) -> bool {
    let mut here = schema;
    for (name, _) in path {
        let inside = here.get("items").unwrap_or(here);
        // A reading may be a plain value or a table with its origin: what holds fields is the table.
        let Some(next) = inside.get("properties").and_then(|fields| fields.get(name)) else { return false };
        here = next;
    }
    true
}

/// Reads the machines of a table. Each row stands by itself: one that cannot be read stops no other.
pub fn machines(
    name: &str,
    grid: &Grid,
    common: &Common,
    library: &ReadLibrary,
) -> (Vec<RowRead>, Vec<Problem>) {
    let (paths, found) = columns(name, grid);
    let stem = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let stem = stem.rsplit_once('.').map_or(stem, |(stem, _)| stem);
    let rows = grid.rows.iter().filter_map(|row| {
        let mut tree = tree(&paths, row)?;
        let own_name = tree.entries.contains_key("name");
        common.fill(&mut tree, Standing::Written);
        let id = format!("{}-{}", stem, row.line);
        if !own_name {
            let called = match tree.entries.get("id").map(|(_, node)| node.value.scalar()) {
                Some(id) if !id.is_empty() => id,
                _ => id.clone(),
            };
            let node = Node { span: 0..0, value: Value::Text(called), origin: None };
            tree.entries.insert("name".to_owned(), (0..0, node));
        }
        let mut problems = Problems::new(name, &row.text);
        let machine = file::of_tree(&tree, row.text.len(), &id, library, &mut problems);
        let problems = problems.found.into_iter().map(|problem| Problem {
            line: row.line + problem.line - 1,
            span: problem.span.start + row.start..problem.span.end + row.start,
            ..problem
        });
        Some(RowRead { line: row.line, machine, problems: problems.collect() })
    });
    (rows.collect(), found)
}

/// A row as the tree of a record; none where all its cells are empty.
fn tree(paths: &[Option<Path>], row: &GridRow) -> Option<Table> {
    let mut tree = Table::default();
    let mut lists: BTreeMap<String, BTreeMap<usize, Table>> = BTreeMap::new();
    for (path, (cell, span)) in paths.iter().zip(&row.cells) {
        let Some(path) = path.as_ref().filter(|_| !cell.is_empty()) else { continue };
        let value = match cell.as_str() {
            "true" => Value::Truth(true),
            "false" => Value::Truth(false),
            _ => Value::Cell(cell.clone()),
        };
        let node = Node { span: span.clone(), value, origin: None };
        match path.split_first() {
            Some(((list, Some(place)), rest)) => {
                let table = lists.entry(list.clone()).or_default().entry(*place).or_default();
                insert(table, rest, node);
            }
            _ => insert(&mut tree, path, node),
        }
    }
    for (name, list) in lists {
        let item = |table: Table| Node { span: 0..row.text.len(), value: Value::Table(table), origin: None };
        let items = Value::List(list.into_values().map(item).collect());
        let node = Node { span: 0..row.text.len(), value: items, origin: None };
        tree.entries.insert(name, (0..row.text.len(), node));
    }
    (!tree.entries.is_empty()).then_some(tree)
}

fn insert(table: &mut Table, path: &[(String, Option<usize>)], node: Node) {
    let Some(((name, _), rest)) = path.split_first() else { return };
    let span = node.span.clone();
    if rest.is_empty() {
        table.entries.insert(name.clone(), (span, node));
        return;
    }
    let (_, inner) = table.entries.entry(name.clone()).or_insert_with(|| {
        (span.clone(), Node { span, value: Value::Table(Table::default()), origin: None })
    });
    if let Value::Table(inner) = &mut inner.value {
        insert(inner, rest, node);
    }
}
