//! OpenDocument spreadsheets, row by row.
//!
//! # Source
//! ISO/IEC 26300-1:2015 (OpenDocument 1.2), part 1, 9.1 and 19.385: `table:table-row`, `table:table-cell`, their
//! repeats, `office:value-type` with `office:value`, `office:date-value` and `office:string-value`, and `text:p`.

use std::io::{BufReader, Cursor};

use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};
use zip::ZipArchive;

use crate::cell::Cell;
use crate::limits::{LONGEST_CELL, MOST_CELLS, MOST_COLUMNS, MOST_ROWS};
use crate::mapping::Mapping;
use crate::source::separated::owned;
use crate::source::{Format, KeptRow, Source, SourceError};

fn damaged(why: impl core::fmt::Display) -> SourceError {
    SourceError::Damaged { format: Format::OpenDocument.word(), why: why.to_string() }
}

/// An attribute's text.
fn attribute(start: &BytesStart<'_>, name: &str) -> Option<String> {
    start.attributes().with_checks(false).flatten().find(|found| found.key.as_ref() == name).and_then(
        |found| found.normalized_value(quick_xml::XmlVersion::Implicit1_0).ok().map(|text| text.into_owned()),
    )
}

fn repeats(start: &BytesStart<'_>, name: &str) -> usize {
    attribute(start, name).and_then(|text| text.parse().ok()).unwrap_or(1).max(1)
}

/// A cell under way.
#[derive(Debug, Default)]
struct Under {
    value: Option<Cell<'static>>,
    text: String,
    repeats: usize,
    paragraphs: usize,
}

impl Under {
    fn of(start: &BytesStart<'_>) -> Self {
        let kind = attribute(start, "office:value-type").unwrap_or_default();
        let number = || attribute(start, "office:value").and_then(|text| text.parse::<f64>().ok());
        let value = match kind.as_str() {
            "float" | "currency" => number().map(Cell::Number),
            // A per cent cell of 0.95 is written 95 %.
            "percentage" => number().map(|share| owned(format!("{} %", share * 100.0))),
            "date" => attribute(start, "office:date-value")
                .and_then(|text| text.get(..10)?.parse().ok())
                .map(Cell::Day),
            "boolean" => attribute(start, "office:boolean-value")
                .map(|text| owned(if text == "true" { "yes" } else { "no" }.to_owned())),
            "string" => attribute(start, "office:string-value").map(owned),
            _ => None,
        };
        Self { value, repeats: repeats(start, "table:number-columns-repeated"), ..Self::default() }
    }

    fn finish(self) -> (Cell<'static>, usize) {
        (self.value.unwrap_or_else(|| owned(self.text)), self.repeats)
    }
}

/// Opens a spreadsheet whose archive was found to stay within bounds.
///
/// # Errors
/// It is damaged, has no such sheet, or more rows or cells than are read.
pub fn open(archive: &mut ZipArchive<Cursor<&[u8]>>, mapping: &Mapping) -> Result<Source, SourceError> {
    let content = archive.by_name("content.xml").map_err(SourceError::Packed)?;
    let mut reader = Reader::from_reader(BufReader::new(content));
    let mut sheet = Sheet::default();
    let mut names: Vec<String> = Vec::new();
    let mut reading = false;
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        let event = reader.read_event_into(&mut buffer).map_err(damaged)?;
        match event {
            Event::Eof => break,
            Event::Start(start) if start.name().as_ref() == "table:table" => {
                let name = attribute(&start, "table:name").unwrap_or_default();
                reading = match &mapping.sheet {
                    Some(wanted) => *wanted == name,
                    None => names.is_empty(),
                };
                names.push(name);
            }
            Event::End(end) if end.name().as_ref() == "table:table" => reading = false,
            event if reading => sheet.take(event)?,
            _ => {}
        }
    }
    if let Some(wanted) = mapping.sheet.as_ref().filter(|wanted| !names.contains(wanted)) {
        return Err(SourceError::NoSuchSheet { wanted: wanted.clone(), known: names.join(", ") });
    }
    if sheet.open_row {
        return Err(damaged("it ends in the middle of a row"));
    }
    if sheet.rows.is_empty() {
        return Err(SourceError::Empty);
    }
    let name = mapping.sheet.clone().or_else(|| names.first().cloned()).unwrap_or_default();
    let mut remarks = vec![format!("sheet \"{name}\" of an ods spreadsheet")];
    if mapping.sheet.is_none() && names.len() > 1 {
        remarks.push(format!(
            "the first of {} sheets is read; name another in the mapping: {}",
            names.len(),
            names.join(", ")
        ));
    }
    Ok(Source::kept(Format::OpenDocument, remarks, sheet.rows))
}

/// A sheet under way.
#[derive(Debug, Default)]
struct Sheet {
    rows: Vec<KeptRow>,
    /// Number of the row under way, from nothing.
    number: usize,
    row: Vec<Cell<'static>>,
    row_repeats: usize,
    open_row: bool,
    /// Empty cells that count only if something follows them.
    waiting: usize,
    cell: Option<Under>,
    /// How deep in a note the reading is: what a note says is not what its cell says.
    note: usize,
    cells: usize,
}

impl Sheet {
    fn take(&mut self, event: Event<'_>) -> Result<(), SourceError> {
        match event {
            Event::Start(start) => match start.name().as_ref() {
                "table:table-row" => {
                    self.open_row = true;
                    self.row_repeats = repeats(&start, "table:number-rows-repeated");
                }
                "table:table-cell" | "table:covered-table-cell" => self.cell = Some(Under::of(&start)),
                "office:annotation" => self.note += 1,
                "text:p" => self.paragraph(),
                _ => {}
            },
            Event::Empty(empty) => match empty.name().as_ref() {
                "table:table-row" => {
                    self.number = self.number.saturating_add(repeats(&empty, "table:number-rows-repeated"));
                }
                "table:table-cell" | "table:covered-table-cell" => {
                    let (cell, repeats) = Under::of(&empty).finish();
                    self.put(cell, repeats)?;
                }
                "text:s" => {
                    let count = repeats(&empty, "text:c").min(LONGEST_CELL);
                    self.text(&" ".repeat(count));
                }
                "text:tab" | "text:line-break" => self.text(" "),
                _ => {}
            },
            Event::End(end) => match end.name().as_ref() {
                "table:table-row" => self.end_row()?,
                "table:table-cell" | "table:covered-table-cell" => {
                    if let Some(under) = self.cell.take() {
                        let (cell, repeats) = under.finish();
                        self.put(cell, repeats)?;
                    }
                }
                "office:annotation" => self.note = self.note.saturating_sub(1),
                _ => {}
            },
            Event::Text(text) => self.text(&text),
            Event::CData(text) => self.text(&text),
            Event::GeneralRef(reference) => {
                let known = match reference.as_ref() as &str {
                    "amp" => Some('&'),
                    "lt" => Some('<'),
                    "gt" => Some('>'),
                    "quot" => Some('"'),
                    "apos" => Some('\''),
                    _ => reference.resolve_char_ref().ok().flatten(),
                };
                // Entities of its own are never expanded: an honest spreadsheet has none.
                let known = known.ok_or_else(|| damaged("it uses an entity that XML does not have"))?;
                self.text(known.encode_utf8(&mut [0; 4]));
            }
            _ => {}
        }
        Ok(())
    }

    fn paragraph(&mut self) {
        if self.note == 0
            && let Some(cell) = &mut self.cell
        {
            if cell.paragraphs > 0 {
                cell.text.push(' ');
            }
            cell.paragraphs += 1;
        }
    }

    fn text(&mut self, text: &str) {
        if self.note == 0
            && let Some(cell) = &mut self.cell
            && cell.paragraphs > 0
            && cell.text.len() <= LONGEST_CELL
        {
            cell.text.push_str(text);
        }
    }

    fn put(&mut self, cell: Cell<'static>, repeats: usize) -> Result<(), SourceError> {
        if cell == Cell::Empty {
            self.waiting = self.waiting.saturating_add(repeats);
            return Ok(());
        }
        let columns = self.row.len().saturating_add(self.waiting).saturating_add(repeats);
        if columns > MOST_COLUMNS {
            return Err(SourceError::TooMany { what: "columns", most: MOST_COLUMNS });
        }
        self.cells += self.waiting + repeats;
        if self.cells > MOST_CELLS {
            return Err(SourceError::TooMany { what: "cells", most: MOST_CELLS });
        }
        self.row.resize(self.row.len() + self.waiting, Cell::Empty);
        self.waiting = 0;
        for _ in 0..repeats {
            self.row.push(cell.clone());
        }
        Ok(())
    }

    fn end_row(&mut self) -> Result<(), SourceError> {
        self.open_row = false;
        self.waiting = 0;
        let cells = core::mem::take(&mut self.row);
        let repeats = core::mem::take(&mut self.row_repeats).max(1);
        if !cells.is_empty() {
            self.cells = self.cells.saturating_add(cells.len().saturating_mul(repeats - 1));
            if self.cells > MOST_CELLS || self.rows.len().saturating_add(repeats) > MOST_ROWS {
                return Err(SourceError::TooMany { what: "cells", most: MOST_CELLS });
            }
            for repeat in 0..repeats {
                let number = u32::try_from(self.number + repeat + 1).unwrap_or(u32::MAX);
                self.rows.push(KeptRow { number, cells: cells.clone() });
            }
        }
        self.number = self.number.saturating_add(repeats);
        Ok(())
    }
}
