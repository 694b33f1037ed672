//! Soak logs as Parquet: the CSV's columns by their headings, the lines above it as notes; back and forth.

use std::io::{Read, Write};

use columns::limits::Limits;
use columns::read::{ReadError, Reader};
use columns::table::{Column, Kind, Values};
use columns::write::{WriteError, Writer};

use crate::soak_log::cell::is_nothing;
use crate::soak_log::table::separator;

/// Rows of a group: a few minutes at a hundred a second, some megabytes of memory.
const GROUP_ROWS: usize = 1 << 15;

/// Why a log cannot be packed or unpacked.
#[derive(Debug, thiserror::Error)]
pub enum PackedError {
    /// The packed file is broken.
    #[error("this is no Parquet file that can be read")]
    Read(#[source] ReadError),
    /// It cannot be written.
    #[error("the log cannot be packed")]
    Write(#[source] WriteError),
    /// The text is no CSV.
    #[error("this is no CSV table")]
    Csv(#[source] csv::Error),
    /// The text cannot be read, or what was unpacked cannot be written.
    #[error("the log cannot be copied")]
    Copy(#[source] std::io::Error),
    /// More than somebody wants to hold.
    #[error("unpacked, the log has more than {} MiB", .most >> 20)]
    TooLarge {
        /// The most, in bytes.
        most: usize,
    },
    /// There is no heading.
    #[error("the log has no heading and no rows")]
    Empty,
}

/// Whether these bytes are a packed log.
pub fn is_packed(bytes: &[u8]) -> bool {
    bytes.starts_with(b"PAR1")
}

/// A CSV log packed. Columns in which every cell is a number or nothing become numbers, others words; which they
/// are is told by the first rows, and a word that comes later in a column of numbers is unknown.
///
/// # Errors
/// The text is no CSV with a heading, or the sink takes no bytes.
pub fn pack<W: Write + Send>(mut text: impl Read, sink: W) -> Result<W, PackedError> {
    let mut all = String::new();
    text.read_to_string(&mut all).map_err(PackedError::Copy)?;
    let mut notes = Vec::new();
    let mut from = 0;
    for line in all.split_inclusive('\n') {
        let plain = line.trim().trim_start_matches('\u{feff}');
        if !plain.is_empty() && !plain.starts_with('#') {
            break;
        }
        from += line.len();
        if let Some((key, value)) = plain.trim_start_matches('#').split_once(':') {
            notes.push((key.trim().to_owned(), value.trim().to_owned()));
        }
    }
    let body = all.get(from..).unwrap_or("");
    let sign = separator(body.lines().next().unwrap_or(""));
    let reader = || {
        csv::ReaderBuilder::new()
            .flexible(true)
            .comment(Some(b'#'))
            .delimiter(sign)
            .from_reader(body.as_bytes())
    };
    let mut rows = reader();
    let headings: Vec<String> =
        rows.headers().map_err(PackedError::Csv)?.iter().map(|one| one.trim().to_owned()).collect();
    if headings.iter().all(String::is_empty) {
        return Err(PackedError::Empty);
    }
    let number = |cell: &str| match cell.trim() {
        cell if sign == b',' => cell.parse::<f64>().ok(),
        cell => cell.replace(',', ".").parse().ok(),
    };
    let mut kinds = vec![Kind::Numbers; headings.len()];
    for row in reader().records().take(GROUP_ROWS) {
        let row = row.map_err(PackedError::Csv)?;
        for (kind, cell) in kinds.iter_mut().zip(&row) {
            if !is_nothing(cell.trim()) && number(cell).is_none() {
                *kind = Kind::Words;
            }
        }
    }
    let columns: Vec<(String, Kind)> = headings.into_iter().zip(kinds).collect();
    let mut writer = Writer::new(sink, &columns).map_err(PackedError::Write)?;
    for (key, value) in &notes {
        writer.note(key, value);
    }
    let mut records = rows.records();
    loop {
        let mut group: Vec<Column> = columns
            .iter()
            .map(|(name, kind)| Column { name: name.clone(), values: Values::none(*kind) })
            .collect();
        let mut count = 0;
        for row in records.by_ref().take(GROUP_ROWS) {
            let row = row.map_err(PackedError::Csv)?;
            count += 1;
            for (place, column) in group.iter_mut().enumerate() {
                let cell = row.get(place).map(str::trim).filter(|cell| !is_nothing(cell));
                match &mut column.values {
                    Values::Numbers(cells) => cells.push(cell.and_then(number)),
                    Values::Words(cells) => cells.push(cell.map(str::to_owned)),
                    Values::Whole(_) | Values::YesNo(_) => {}
                }
            }
        }
        if count == 0 {
            return writer.finish().map_err(PackedError::Write);
        }
        writer.rows(&group).map_err(PackedError::Write)?;
    }
}

/// A packed log as CSV text.
///
/// # Errors
/// The bytes are no Parquet file, or beyond the limits.
pub fn unpack(bytes: Vec<u8>) -> Result<Vec<u8>, PackedError> {
    unpack_within(bytes, Limits::ORDINARY, usize::MAX)
}

/// A packed log as CSV text of at most so many bytes; one that would be larger takes a few times as much memory at most.
///
/// # Errors
/// As [`unpack`], or it is larger.
pub fn unpack_at_most(bytes: Vec<u8>, most: usize) -> Result<Vec<u8>, PackedError> {
    // A number takes eight bytes and, written out, two and more.
    let held = most.saturating_mul(4);
    let bytes_of_group = u64::try_from(held).unwrap_or(u64::MAX).min(Limits::ORDINARY.group_bytes);
    let limits = Limits {
        group_bytes: bytes_of_group,
        words_bytes: held.min(Limits::ORDINARY.words_bytes),
        group_cells: most.min(Limits::ORDINARY.group_cells),
        rows: most.min(Limits::ORDINARY.rows),
        ..Limits::ORDINARY
    };
    unpack_within(bytes, limits, most)
}

fn unpack_within(bytes: Vec<u8>, limits: Limits, most: usize) -> Result<Vec<u8>, PackedError> {
    let reader = Reader::of_bytes(bytes, limits).map_err(PackedError::Read)?;
    let mut out = Vec::new();
    let one_line =
        |text: &str| -> String { text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect() };
    for (key, value) in reader.notes() {
        out.extend_from_slice(format!("# {}: {}\n", one_line(key), one_line(value)).as_bytes());
    }
    let mut writer = csv::Writer::from_writer(out);
    let names: Vec<String> = reader.columns().into_iter().map(|(name, _)| one_line(&name)).collect();
    if names.is_empty() {
        return Err(PackedError::Empty);
    }
    writer.write_record(&names).map_err(PackedError::Csv)?;
    for group in 0..reader.groups() {
        let group = reader.group(group).map_err(PackedError::Read)?;
        let rows = group.iter().map(|column| column.values.len()).max().unwrap_or(0);
        for row in 0..rows {
            let cells = group.iter().map(|column| cell(&column.values, row));
            writer.write_record(cells).map_err(PackedError::Csv)?;
            if writer.get_ref().len() > most {
                return Err(PackedError::TooLarge { most });
            }
        }
    }
    let out = writer.into_inner().map_err(|error| PackedError::Copy(error.into_error()))?;
    if out.len() > most { Err(PackedError::TooLarge { most }) } else { Ok(out) }
}

fn cell(values: &Values, row: usize) -> String {
    let text = match values {
        Values::Numbers(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
        Values::Whole(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
        Values::Words(cells) => cells.get(row).cloned().flatten(),
        Values::YesNo(cells) => cells.get(row).copied().flatten().map(|cell| cell.to_string()),
    };
    text.unwrap_or_default()
}
