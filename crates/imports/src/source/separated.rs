//! Text with separated cells: CSV and its kin.

use core::cell::Cell as Counter;
use core::ops::ControlFlow;
use std::borrow::Cow;

use csv::{ByteRecord, ReaderBuilder};

use crate::cell::Cell;
use crate::limits::{MOST_COLUMNS, MOST_ROWS};
use crate::mapping::Mapping;
use crate::source::SourceError;
use crate::source::encoding::{self, Reading};

/// A text file with its separator.
#[derive(Debug)]
pub struct Separated {
    bytes: Vec<u8>,
    reading: Reading,
    separator: u8,
    old_cells: Counter<(usize, u32)>,
}

const SEPARATORS: [u8; 4] = [b',', b';', b'\t', b'|'];
/// Records that are looked at to find the separator.
const LOOKED_AT: usize = 50;

fn words(separator: u8) -> String {
    match separator {
        b'\t' => "tabs".to_owned(),
        other => format!("\"{}\"", char::from(other)),
    }
}

/// How well a separator cuts: share of records that have the usual number of cells, and that number.
fn cuts(bytes: &[u8], separator: u8) -> (f64, usize) {
    let mut reader =
        ReaderBuilder::new().has_headers(false).flexible(true).delimiter(separator).from_reader(bytes);
    let mut counts: Vec<usize> = Vec::new();
    let mut record = ByteRecord::new();
    while counts.len() < LOOKED_AT && reader.read_byte_record(&mut record).unwrap_or(false) {
        counts.push(record.len());
    }
    let usual = counts
        .iter()
        .copied()
        .filter(|count| *count > 1)
        .max_by_key(|count| (counts.iter().filter(|other| *other == count).count(), *count));
    match usual {
        Some(usual) => {
            let share = counts.iter().filter(|count| **count == usual).count() as f64 / counts.len() as f64;
            (share, usual)
        }
        None => (0.0, 1),
    }
}

impl Separated {
    /// Opens a text file, with words about how it is read.
    ///
    /// # Errors
    /// It is no text, or empty.
    pub fn open(bytes: Vec<u8>, mapping: &Mapping) -> Result<(Self, Vec<String>), SourceError> {
        let found = encoding::find(bytes, mapping.encoding.as_deref())?;
        if found.bytes.iter().all(u8::is_ascii_whitespace) {
            return Err(SourceError::Empty);
        }
        let mut remarks = vec![found.remark];
        let separator = match mapping.separator.and_then(|c| u8::try_from(c).ok()) {
            Some(separator) => separator,
            None => {
                let mut best = (b',', (0.0, 1));
                for separator in SEPARATORS {
                    let cut = cuts(&found.bytes, separator);
                    if (cut.0, cut.1) > (best.1.0, best.1.1) {
                        best = (separator, cut);
                    }
                }
                remarks.push(format!("cells separated by {}", words(best.0)));
                best.0
            }
        };
        if !found.bytes.ends_with(b"\n") && found.bytes.contains(&b'\n') {
            remarks.push("the last line has no end: look whether the file is whole".to_owned());
        }
        let separated =
            Self { bytes: found.bytes, reading: found.reading, separator, old_cells: Counter::new((0, 0)) };
        Ok((separated, remarks))
    }

    /// Goes through the rows with the line each begins on.
    ///
    /// # Errors
    /// More rows or columns than are read.
    pub fn each(&self, mut take: impl FnMut(u32, &[Cell<'_>]) -> ControlFlow<()>) -> Result<(), SourceError> {
        let mut reader = ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .delimiter(self.separator)
            .from_reader(self.bytes.as_slice());
        let mut record = ByteRecord::new();
        let (mut rows, mut old, mut first_old) = (0, 0, 0);
        // Bytes in memory cannot fail to be read; a record is never refused when its length may differ.
        while let Ok(true) = reader.read_byte_record(&mut record) {
            rows += 1;
            if rows > MOST_ROWS {
                return Err(SourceError::TooMany { what: "rows", most: MOST_ROWS });
            }
            if record.len() > MOST_COLUMNS {
                return Err(SourceError::TooMany { what: "columns", most: MOST_COLUMNS });
            }
            // The reader's place is before the line ends that the last record left.
            let begins = record.position().map_or(0, |position| {
                let byte = usize::try_from(position.byte()).unwrap_or(usize::MAX);
                let rest = self.bytes.get(byte..).unwrap_or_default();
                let ends = rest.iter().take_while(|byte| matches!(byte, b'\r' | b'\n'));
                position.line() + ends.filter(|byte| **byte == b'\n').count() as u64
            });
            let line = u32::try_from(begins).unwrap_or(u32::MAX);
            let cells: Vec<Cell<'_>> = record
                .iter()
                .map(|bytes| {
                    let (text, was_old) = encoding::cell(bytes, self.reading);
                    if was_old {
                        old += 1;
                        first_old = if old == 1 { line } else { first_old };
                    }
                    if text.is_empty() { Cell::Empty } else { Cell::Text(text) }
                })
                .collect();
            if take(line, &cells).is_break() {
                break;
            }
        }
        if old > self.old_cells.get().0 {
            self.old_cells.set((old, first_old));
        }
        Ok(())
    }

    /// Words about cells that were not in the encoding of the others.
    pub fn later_remarks(&self) -> Vec<String> {
        match self.old_cells.get() {
            (0, _) => Vec::new(),
            (cells, line) => vec![format!(
                "{cells} cells are not UTF-8 and were read as windows-1252, the first in line {line}; name another encoding in the mapping if letters look wrong"
            )],
        }
    }
}

/// A text cell that outlives its file.
pub fn owned(text: String) -> Cell<'static> {
    if text.is_empty() { Cell::Empty } else { Cell::Text(Cow::Owned(text)) }
}
