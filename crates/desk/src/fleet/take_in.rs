//! Machines out of files of every kind: records, captures, tables. One that cannot be read stops no other.

use std::collections::BTreeMap;

use columns::limits::Limits;
use columns::read::Reader;
use columns::table::Values;
use fleet::group::Member;
use intake::library::ReadLibrary;
use intake::machine::common::{Common, Standing};
use intake::machine::file::read_filled;
use intake::machine::table::{self, Grid, GridRow};
use intake::problem::{Problem, Severity, SourceFile};
use survey::identify::identify;
use survey::record::record;
use survey::survey::survey;
use upgrade::machine::present::Machine;

/// A machine that was not taken in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// File, or file and row.
    pub from: String,
    /// Why.
    pub problems: Vec<Problem>,
}

/// Everything that was read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TakenIn {
    /// Machines, in the order of files and rows.
    pub members: Vec<Member>,
    /// Machines that were not taken in.
    pub refused: Vec<Refused>,
    /// What is wrong with whole files, and what only looks wrong.
    pub remarks: Vec<Problem>,
    /// Texts that problems point into.
    pub texts: Vec<SourceFile>,
    /// Files that are none of the kinds that are read.
    pub passed_over: Vec<String>,
    /// Which id came from where.
    ids: BTreeMap<String, String>,
}

/// Kinds of file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    Record,
    Capture,
    Text,
    Columns,
}

/// The kind of a file by its first bytes, else by its name.
fn kind(file: &SourceFile) -> Option<Kind> {
    match file.bytes.as_slice() {
        [b'P', b'A', b'R', b'1', ..] => return Some(Kind::Columns),
        [0x1f, 0x8b, ..] => return Some(Kind::Capture),
        _ => {}
    }
    let name = file.name.to_lowercase();
    let ends = |endings: &[&str]| endings.iter().any(|ending| name.ends_with(ending));
    if ends(&[".toml"]) {
        Some(Kind::Record)
    } else if ends(&[".csv", ".tsv"]) {
        Some(Kind::Text)
    } else if ends(&[".parquet"]) {
        Some(Kind::Columns)
    } else if ends(&[".tar.gz", ".tgz"]) {
        Some(Kind::Capture)
    } else {
        None
    }
}

impl TakenIn {
    /// Takes a file in.
    pub fn file(&mut self, file: SourceFile, common: &Common, library: &ReadLibrary) {
        match kind(&file) {
            None => self.passed_over.push(file.name),
            Some(Kind::Record) => {
                let read = read_filled(&file, common, Standing::Written, library);
                self.record(file, read);
            }
            Some(Kind::Capture) => self.capture(file, common, library),
            Some(Kind::Text) => {
                let (grid, text, problems) = table::csv(&file);
                let file = SourceFile { name: file.name, bytes: text.into_bytes() };
                self.rows(file, &grid, problems, common, library);
            }
            Some(Kind::Columns) => match grid(&file) {
                Ok((grid, problems)) => {
                    let file = SourceFile { name: file.name, bytes: Vec::new() };
                    self.rows(file, &grid, problems, common, library);
                }
                Err(problem) => self.remarks.push(*problem),
            },
        }
    }

    /// A file that could not be read at all.
    pub fn unread(&mut self, name: &str, error: &dyn std::error::Error) {
        let cause = error.source().map_or_else(|| error.to_string(), ToString::to_string);
        let problem = whole(name, format!("the file could not be read: {cause}"), None);
        self.refused.push(Refused { from: name.to_owned(), problems: vec![problem] });
    }

    fn capture(&mut self, file: SourceFile, common: &Common, library: &ReadLibrary) {
        match survey::capture::open(&file.bytes) {
            Ok(root) => {
                let found = survey(&root);
                let identified = identify(&found, &library.library);
                let text = record(&found, &identified, &library.library);
                let file = SourceFile { name: file.name, bytes: text.into_bytes() };
                let read = read_filled(&file, common, Standing::Surveyed, library);
                self.record(file, read);
            }
            Err(error) => {
                let help = "make it again with  reseat survey --capture FILE";
                let problem = whole(&file.name, error.to_string(), Some(help.to_owned()));
                self.refused.push(Refused { from: file.name, problems: vec![problem] });
            }
        }
    }

    fn record(&mut self, file: SourceFile, (machine, problems): (Option<Machine>, Vec<Problem>)) {
        if !problems.is_empty() {
            self.texts.push(file.clone());
        }
        self.machine(machine, file.name.clone(), (&file.name, 1), problems);
    }

    fn rows(
        &mut self,
        file: SourceFile,
        grid: &Grid,
        mut problems: Vec<Problem>,
        common: &Common,
        library: &ReadLibrary,
    ) {
        let (rows, about_columns) = table::machines(&file.name, grid, common, library);
        problems.extend(about_columns);
        // A row that was lost before it could be read as a machine is one that was refused.
        let (lost, remarks): (Vec<Problem>, Vec<Problem>) = problems
            .into_iter()
            .partition(|problem| problem.severity == Severity::Error && problem.field.is_empty());
        self.remarks.extend(remarks);
        for problem in lost {
            let from = format!("{}:{}", file.name, problem.line);
            self.refused.push(Refused { from, problems: vec![problem] });
        }
        for row in rows {
            let from = format!("{}:{}", file.name, row.line);
            self.machine(row.machine, from, (&file.name, row.line), row.problems);
        }
        if !file.bytes.is_empty() {
            self.texts.push(file);
        }
    }

    /// Takes a machine up unless something is wrong with it, or one of its id is there.
    fn machine(
        &mut self,
        machine: Option<Machine>,
        from: String,
        place: (&str, usize),
        mut problems: Vec<Problem>,
    ) {
        let wrong = problems.iter().any(|problem| problem.severity == Severity::Error);
        let Some(machine) = machine.filter(|_| !wrong) else {
            if problems.is_empty() {
                problems.push(whole(&from, "this is no machine's record".to_owned(), None));
            }
            self.refused.push(Refused { from, problems });
            return;
        };
        if let Some(other) = self.ids.get(&machine.id) {
            let message = format!("a machine \"{}\" was read from {other} already", machine.id);
            let help = "give each machine an id of its own, or leave one of the two out";
            let one = Problem {
                line: place.1,
                field: "id".to_owned(),
                ..whole(place.0, message, Some(help.to_owned()))
            };
            self.refused.push(Refused { from, problems: vec![one] });
            return;
        }
        self.ids.insert(machine.id.clone(), from.clone());
        self.remarks.append(&mut problems);
        self.members.push(Member { machine, from });
    }

    /// Every problem, those of refused machines first.
    pub fn problems(&self) -> Vec<Problem> {
        self.refused
            .iter()
            .flat_map(|refused| refused.problems.iter())
            .chain(&self.remarks)
            .cloned()
            .collect()
    }
}

/// A problem of a whole file.
fn whole(file: &str, message: String, help: Option<String>) -> Problem {
    Problem {
        file: file.to_owned(),
        span: 0..0,
        line: 1,
        column: 1,
        field: String::new(),
        severity: Severity::Error,
        message,
        help,
    }
}

/// A columns file as a table of texts.
fn grid(file: &SourceFile) -> Result<(Grid, Vec<Problem>), Box<Problem>> {
    let failed = |error: columns::read::ReadError| {
        let mut message = error.to_string();
        let mut cause = std::error::Error::source(&error);
        while let Some(inner) = cause {
            message.push_str(&format!(": {inner}"));
            cause = inner.source();
        }
        Box::new(whole(
            &file.name,
            message,
            Some("write it again, packed by snappy, gzip or not at all".to_owned()),
        ))
    };
    let reader = Reader::of_bytes(file.bytes.clone(), Limits::ORDINARY).map_err(failed)?;
    let headings = reader.columns().into_iter().map(|(name, _)| name).collect();
    let mut grid = Grid { headings, rows: Vec::new() };
    let mut line = 0;
    for group in 0..reader.groups() {
        let columns = reader.group(group).map_err(failed)?;
        let rows = columns.first().map_or(0, |column| column.values.len());
        for row in 0..rows {
            line += 1;
            let cells = columns.iter().map(|column| (text(&column.values, row), 0..0)).collect();
            grid.rows.push(GridRow { line, start: 0, text: String::new(), cells });
        }
    }
    let left_out = reader.left_out().iter().map(|column| Problem {
        field: column.name.clone(),
        severity: Severity::Warning,
        ..whole(&file.name, format!("column \"{}\" is not read: {}", column.name, column.reason), None)
    });
    Ok((grid, left_out.collect()))
}

fn text(values: &Values, row: usize) -> String {
    let cell = match values {
        Values::Numbers(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
        Values::Whole(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
        Values::Words(cells) => cells.get(row).cloned().flatten().map(|cell| cell.trim().to_owned()),
        Values::YesNo(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
    };
    cell.unwrap_or_default()
}
