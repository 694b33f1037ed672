//! Office Open XML workbooks, row by row.

use std::io::Cursor;

use calamine::{DataRef, Reader as _, Xlsx};
use quantity::day::Day;

use crate::cell::Cell;
use crate::limits::{LONGEST_CELL, MOST_CELLS, MOST_COLUMNS, MOST_ROWS};
use crate::mapping::Mapping;
use crate::source::separated::owned;
use crate::source::{Format, KeptRow, Source, SourceError};

fn damaged(why: impl core::fmt::Display) -> SourceError {
    SourceError::Damaged { format: Format::Workbook.word(), why: why.to_string() }
}

fn cell(value: &DataRef<'_>) -> Cell<'static> {
    let text = |text: &str| {
        let mut end = text.len().min(LONGEST_CELL + 1);
        while !text.is_char_boundary(end) {
            end -= 1;
        }
        owned(text[..end].to_owned())
    };
    match value {
        DataRef::Empty => Cell::Empty,
        DataRef::Int(number) => Cell::Number(*number as f64),
        DataRef::Float(number) => Cell::Number(*number),
        DataRef::String(string) => text(string),
        DataRef::SharedString(string) => text(string),
        DataRef::Bool(truth) => text(if *truth { "yes" } else { "no" }),
        DataRef::DateTime(moment) => {
            let (year, month, day, ..) = moment.to_ymd_hms_milli();
            Day::new(year, month, day).map_or(Cell::Number(moment.as_f64()), Cell::Day)
        }
        DataRef::DateTimeIso(moment) => {
            let day = moment.get(..10).and_then(|day| day.parse().ok());
            day.map_or_else(|| text(moment), Cell::Day)
        }
        DataRef::DurationIso(duration) => text(duration),
        DataRef::Error(_) => Cell::Failed("an error of the spreadsheet"),
    }
}

/// Opens a workbook whose archive was found to stay within bounds.
///
/// # Errors
/// It is damaged, has no such sheet, or more rows or cells than are read.
pub fn open(bytes: &[u8], mapping: &Mapping) -> Result<Source, SourceError> {
    let mut workbook: Xlsx<_> = Xlsx::new(Cursor::new(bytes)).map_err(damaged)?;
    let names = workbook.sheet_names();
    let name =
        match &mapping.sheet {
            Some(wanted) => names.iter().find(|name| *name == wanted).cloned().ok_or_else(|| {
                SourceError::NoSuchSheet { wanted: wanted.clone(), known: names.join(", ") }
            })?,
            None => names.first().cloned().ok_or(SourceError::Empty)?,
        };
    let mut remarks = vec![format!("sheet \"{name}\" of an xlsx workbook")];
    if mapping.sheet.is_none() && names.len() > 1 {
        remarks.push(format!(
            "the first of {} sheets is read; name another in the mapping: {}",
            names.len(),
            names.join(", ")
        ));
    }
    let mut reader = workbook.worksheet_cells_reader(&name).map_err(damaged)?;
    let mut rows: Vec<KeptRow> = Vec::new();
    let mut cells = 0;
    while let Some(found) = reader.next_cell().map_err(damaged)? {
        let (row, column) = found.get_position();
        let value = cell(found.get_value());
        if value == Cell::Empty {
            continue;
        }
        let number = row.saturating_add(1);
        let column = column as usize;
        if column >= MOST_COLUMNS {
            return Err(SourceError::TooMany { what: "columns", most: MOST_COLUMNS });
        }
        match rows.last() {
            Some(last) if last.number == number => {}
            Some(last) if last.number > number => return Err(damaged("its rows are out of order")),
            _ if rows.len() >= MOST_ROWS => {
                return Err(SourceError::TooMany { what: "rows", most: MOST_ROWS });
            }
            _ => rows.push(KeptRow { number, cells: Vec::new() }),
        }
        let Some(row) = rows.last_mut() else { continue };
        // A lone cell far to the right costs the empty ones before it.
        cells += (column + 1).saturating_sub(row.cells.len()).max(1);
        if cells > MOST_CELLS {
            return Err(SourceError::TooMany { what: "cells", most: MOST_CELLS });
        }
        if row.cells.len() <= column {
            row.cells.resize(column + 1, Cell::Empty);
        }
        if let Some(place) = row.cells.get_mut(column) {
            *place = value;
        }
    }
    if rows.is_empty() {
        return Err(SourceError::Empty);
    }
    Ok(Source::kept(Format::Workbook, remarks, rows))
}
