//! The table of a log: rows of numbers in SI, in the order of time.

use core::ops::Range;

use quantity::text::significant;

use crate::problem::{Problems, Severity};
use crate::soak_log::cell::{self, Cell};
use crate::soak_log::doubt::Doubts;
use crate::soak_log::heading::{Heading, Kind, Mapping, NAMES, NotRead, heading};
use crate::soak_log::moment::Since;

/// Columns with a value for each row that stayed.
pub(super) struct Table {
    pub(super) columns: Vec<(Heading, Vec<Option<f64>>)>,
    pub(super) times: Vec<f64>,
    /// Bytes of the rows that stayed, and the number of each in the table.
    pub(super) spans: Vec<Range<usize>>,
    pub(super) loads: Vec<Option<u16>>,
    pub(super) load_names: Vec<String>,
    /// Headings that are nothing of ours.
    pub(super) unread: Vec<String>,
}

/// The sign between cells, by the heading: whichever stands there most often, outside of quotes.
pub(super) fn separator(first_line: &str) -> u8 {
    // Every second piece between quotes is quoted; a doubled quote inside one only makes an empty piece.
    let bare = || first_line.split('"').step_by(2);
    let count =
        |sign: u8| bare().map(|piece| piece.bytes().filter(|byte| *byte == sign).count()).sum::<usize>();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(|sign| count(*sign)).unwrap_or(b',')
}

/// No more loads are told apart than this.
const MOST_LOADS: usize = 1000;

/// Reads the table that begins at a byte.
pub(super) fn read(
    text: &str,
    start: usize,
    mapping: &[Mapping],
    problems: &mut Problems<'_>,
) -> Option<Table> {
    let body = text.get(start..).unwrap_or("");
    let sign = separator(body.lines().next().unwrap_or(""));
    let comma = sign != b',';
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .delimiter(sign)
        .from_reader(body.as_bytes());
    let mut record = csv::StringRecord::new();
    let mut read_row =
        |record: &mut csv::StringRecord, problems: &mut Problems<'_>| match reader.read_record(record) {
            Ok(more) => {
                let from = record.position().map_or(0, |position| position.byte());
                let from = start + usize::try_from(from).unwrap_or(0);
                let to = start + usize::try_from(reader.position().byte()).unwrap_or(0);
                let to = to.min(text.len());
                let row = text.get(from..to).unwrap_or("");
                let from = from + (row.len() - row.trim_start_matches(['\r', '\n']).len());
                more.then_some(from..from + row.trim().len())
            }
            Err(error) => {
                problems.error(text.len()..text.len(), "", format!("this is not CSV: {error}"), None);
                None
            }
        };
    let Some(first) = read_row(&mut record, problems) else {
        problems.error(start..start, "", "the log has no heading and no rows".to_owned(), None);
        return None;
    };
    let headings = headings(&record, &first, mapping, problems);
    let width = record.len();
    let has = |wanted: fn(&Kind) -> bool| headings.iter().flatten().any(|heading| wanted(&heading.kind));
    if !has(|kind| *kind == Kind::Time) {
        let known = NAMES.join(", ");
        let help = format!(
            "name the column, as \"time s\", or say which it is by --column OURS=THEIRS; ours are {known}"
        );
        problems.error(first, "time", "no column holds a time".to_owned(), Some(help));
        return None;
    }
    let unread: Vec<String> = headings
        .iter()
        .zip(&record)
        .filter(|(heading, written)| heading.is_none() && !written.trim().is_empty())
        .map(|(_, written)| written.trim().to_owned())
        .collect();
    let mut table = Table {
        columns: headings
            .iter()
            .flatten()
            .filter(|heading| !matches!(heading.kind, Kind::Time | Kind::Load))
            .map(|heading| (heading.clone(), Vec::new()))
            .collect(),
        times: Vec::new(),
        spans: Vec::new(),
        loads: Vec::new(),
        load_names: Vec::new(),
        unread,
    };
    let mut since = Since::default();
    let mut doubts = Doubts::default();
    while let Some(span) = read_row(&mut record, problems) {
        if record.len() != width {
            let message =
                || format!("this row has {} cells, the heading has {width}; it is left out", record.len());
            doubts.add(("", "cells"), span, Severity::Error, message, "");
            continue;
        }
        row(&record, &headings, comma, &span, (&mut table, &mut since), &mut doubts);
    }
    doubts.tell(problems);
    Some(table)
}

/// What each column holds; none for those that are left out.
fn headings(
    record: &csv::StringRecord,
    span: &Range<usize>,
    mapping: &[Mapping],
    problems: &mut Problems<'_>,
) -> Vec<Option<Heading>> {
    let mut found: Vec<Option<Heading>> = Vec::new();
    for written in record {
        let one = match heading(written, mapping) {
            Ok(one) => one,
            Err(NotRead::Unknown) => {
                found.push(None);
                continue;
            }
            Err(NotRead::Unit { unit, known }) => {
                let message = format!("\"{written}\" cannot be in {unit}: known are {known}");
                problems.error(span.clone(), written, message, None);
                found.push(None);
                continue;
            }
        };
        if found.iter().flatten().any(|other| other.kind == one.kind) {
            let message = format!("\"{written}\" stands twice; the first one is read");
            problems.error(span.clone(), written, message, None);
            found.push(None);
            continue;
        }
        // A time may still be a clock's, which needs none: its cells tell.
        if one.unit_taken && one.kind != Kind::Time {
            let unit = one.unit.symbols.first().copied().unwrap_or("");
            let message = format!("\"{written}\" has no unit; it is read as {unit}");
            let help = Some(format!("write \"{written} {unit}\""));
            problems.add(span.clone(), written, Severity::Warning, message, help);
        }
        found.push(Some(one));
    }
    for entry in mapping {
        if !record.iter().any(|written| {
            let written = written.trim();
            written == entry.theirs || written.starts_with(&entry.theirs)
        }) {
            let message = format!("no column is called \"{}\"", entry.theirs);
            problems.error(span.clone(), &entry.ours, message, None);
        }
    }
    found
}

fn row(
    record: &csv::StringRecord,
    headings: &[Option<Heading>],
    comma: bool,
    span: &Range<usize>,
    (table, since): (&mut Table, &mut Since),
    doubts: &mut Doubts,
) {
    let mut read = |heading: &Heading, cell: &str, doubts: &mut Doubts| -> Option<f64> {
        let name = heading.written.as_str();
        let unit = heading.unit.symbols.first().copied().unwrap_or("");
        match cell::read(cell, comma, heading) {
            Cell::Empty => None,
            Cell::Value(value) => {
                if heading.unit_taken && heading.kind == Kind::Time {
                    let message = || format!("\"{name}\" has no unit; it is read as {unit}");
                    doubts.add(
                        (name, "no unit"),
                        span.clone(),
                        Severity::Warning,
                        message,
                        "name its unit in the heading, as \"time s\"",
                    );
                }
                Some(value)
            }
            Cell::Moment(moment) => Some(since.first(moment)),
            Cell::OtherUnit(value) => {
                let message = || {
                    format!(
                        "the cell \"{}\" is in another unit than its heading; it is converted",
                        cell.trim()
                    )
                };
                doubts.add((name, "other unit"), span.clone(), Severity::Warning, message, "");
                Some(value)
            }
            Cell::Absurd(other) => {
                let like = other.map_or(String::new(), |other| format!("; it looks like {other}"));
                let message = || {
                    format!("{} {unit} is no value of such a sensor{like}; the cell is left out", cell.trim())
                };
                let help = "write the whole column in the unit of its heading";
                doubts.add((name, "unit"), span.clone(), Severity::Warning, message, help);
                None
            }
            Cell::Words => {
                let short: String = cell.trim().chars().take(40).collect();
                let message = || format!("\"{short}\" is no number; the cell is left out");
                doubts.add((name, "words"), span.clone(), Severity::Error, message, "");
                None
            }
        }
    };
    let cells = || headings.iter().zip(record).filter_map(|(heading, cell)| Some((heading.as_ref()?, cell)));
    let Some((time_heading, time_cell)) = cells().find(|(heading, _)| heading.kind == Kind::Time) else {
        return;
    };
    let Some(time) = read(time_heading, time_cell, doubts) else {
        let message = || "this row has no time; it is left out".to_owned();
        doubts.add((&time_heading.written, "no time"), span.clone(), Severity::Error, message, "");
        return;
    };
    if let Some(last) = table.times.last()
        && time <= *last
    {
        let by = significant(*last - time, 3);
        let message = || {
            if time == *last {
                "time stands still; the row is left out".to_owned()
            } else {
                format!("time steps back by {by} s; rows are left out until it is past where it was")
            }
        };
        let kind = if time == *last { "time stands" } else { "time back" };
        doubts.add((&time_heading.written, kind), span.clone(), Severity::Warning, message, "");
        return;
    }
    table.times.push(time);
    table.spans.push(span.clone());
    let mut columns = table.columns.iter_mut();
    for (heading, cell) in cells() {
        match heading.kind {
            Kind::Time => {}
            Kind::Load => table.loads.push(load(cell.trim(), &mut table.load_names)),
            _ => {
                let value = read(heading, cell, doubts);
                if let Some((_, values)) = columns.next() {
                    values.push(value);
                }
            }
        }
    }
}

fn load(name: &str, names: &mut Vec<String>) -> Option<u16> {
    if name.is_empty() {
        return None;
    }
    let place = names.iter().position(|known| known == name).or_else(|| {
        (names.len() < MOST_LOADS).then(|| {
            names.push(name.to_owned());
            names.len() - 1
        })
    })?;
    u16::try_from(place).ok()
}
