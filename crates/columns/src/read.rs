//! Reading a table.

use std::fs::File;

use bytes::Bytes;
use parquet::column::reader::{ColumnReader, ColumnReaderImpl};
use parquet::data_type::DataType;
use parquet::errors::ParquetError;
use parquet::file::metadata::ColumnChunkMetaData;
use parquet::file::reader::{FileReader, Length as _, SerializedFileReader};

use crate::contained::contained;
use crate::limits::Limits;
use crate::stored::{self, Meaning, Zone};
use crate::table::{Column, Kind, LeftOut, Table, Values};

/// Why a file was not read.
#[derive(Debug, thiserror::Error)]
pub enum ReadError {
    /// It is no Parquet file, or a broken one.
    #[error("this is no whole Parquet file")]
    NotParquet(#[source] ParquetError),
    /// A row group is broken, or packed in a way that is not known here.
    #[error("column \"{column}\" of row group {group} cannot be read")]
    Broken {
        /// The column.
        column: String,
        /// Which row group, from one.
        group: usize,
        /// What the reader said.
        source: ParquetError,
    },
    /// A column does not have as many rows as its row group.
    #[error("column \"{column}\" of row group {group} has {found} rows, and should have {expected}")]
    RowCount {
        /// The column.
        column: String,
        /// Which row group, from one.
        group: usize,
        /// As the file says.
        expected: usize,
        /// As there are.
        found: usize,
    },
    /// A value that its column cannot have.
    #[error("column \"{column}\", row {row}: {message}")]
    Value {
        /// The column.
        column: String,
        /// Row of the whole table, from one.
        row: usize,
        /// What is wrong with it.
        message: String,
    },
    /// More than is taken in.
    #[error("this file has {found} {what}; at most {most} are read")]
    TooMuch {
        /// Of what.
        what: &'static str,
        /// How many.
        found: u64,
        /// The limit.
        most: u64,
    },
    /// There is no such row group.
    #[error("there is no row group {group}: the file has {groups}")]
    NoGroup {
        /// Which, from one.
        group: usize,
        /// How many there are.
        groups: usize,
    },
}

/// An open file.
pub struct Reader {
    file: Box<dyn FileReader + Send>,
    limits: Limits,
    notes: Vec<(String, String)>,
    /// Place in the file, name and meaning of each column that is read.
    columns: Vec<(usize, String, Meaning)>,
    left_out: Vec<LeftOut>,
}

impl core::fmt::Debug for Reader {
    fn fmt(&self, f: &mut core::fmt::Formatter<'_>) -> core::fmt::Result {
        f.debug_struct("Reader").field("columns", &self.columns).finish_non_exhaustive()
    }
}

/// Packed and unpacked values read from a column at once.
const BATCH: usize = 8_192;

impl Reader {
    /// Opens the bytes of a file.
    ///
    /// # Errors
    /// No Parquet, or beyond the limits.
    pub fn of_bytes(bytes: Vec<u8>, limits: Limits) -> Result<Self, ReadError> {
        let length = bytes.len() as u64;
        at_most("bytes", length, limits.file_bytes)?;
        let file =
            contained(|| SerializedFileReader::new(Bytes::from(bytes))).map_err(ReadError::NotParquet)?;
        Self::of(Box::new(file), length, limits)
    }

    /// Opens a file; its row groups stay on the disk until they are asked for.
    ///
    /// # Errors
    /// No Parquet, or beyond the limits.
    pub fn of_file(file: File, limits: Limits) -> Result<Self, ReadError> {
        let length = file.len();
        at_most("bytes", length, limits.file_bytes)?;
        let file = contained(|| SerializedFileReader::new(file)).map_err(ReadError::NotParquet)?;
        Self::of(Box::new(file), length, limits)
    }

    fn of(file: Box<dyn FileReader + Send>, file_bytes: u64, limits: Limits) -> Result<Self, ReadError> {
        let about = file.metadata();
        let schema = about.file_metadata().schema_descr_ptr();
        at_most("columns", schema.num_columns() as u64, limits.columns as u64)?;
        let mut rows = 0_u64;
        for group in about.row_groups() {
            let found = u64::try_from(group.num_rows()).map_err(|_| {
                ReadError::NotParquet(ParquetError::General("it has a negative number of rows".to_owned()))
            })?;
            rows = rows.saturating_add(found);
            at_most(
                "cells in a row group",
                found.saturating_mul(schema.num_columns() as u64),
                limits.group_cells as u64,
            )?;
            for column in group.columns() {
                check_place(column, file_bytes)?;
            }
            let unpacked = group.columns().iter().map(|column| column.uncompressed_size());
            let unpacked =
                unpacked.fold(0_u64, |sum, size| sum.saturating_add(u64::try_from(size).unwrap_or(u64::MAX)));
            at_most("bytes in a row group", unpacked, limits.group_bytes)?;
        }
        at_most("rows", rows, limits.rows as u64)?;
        let (mut columns, mut left_out) = (Vec::new(), Vec::<LeftOut>::new());
        for (place, column) in schema.columns().iter().enumerate() {
            let name = column.path().string();
            let meaning = stored::meaning(column).and_then(|meaning| {
                if columns.iter().any(|(_, other, _)| *other == name) {
                    return Err("another column has this name; the first one is read".to_owned());
                }
                Ok(meaning)
            });
            match meaning {
                Ok(meaning) => columns.push((place, name, meaning)),
                Err(reason) => left_out.push(LeftOut { name, reason }),
            }
        }
        let notes = about.file_metadata().key_value_metadata().into_iter().flatten();
        let notes = notes.filter_map(|note| Some((note.key.clone(), note.value.clone()?))).collect();
        Ok(Self { file, limits, notes, columns, left_out })
    }

    /// Notes beside the table.
    pub fn notes(&self) -> &[(String, String)] {
        &self.notes
    }

    /// Names and kinds of the columns that are read.
    pub fn columns(&self) -> Vec<(String, Kind)> {
        self.columns.iter().map(|(_, name, meaning)| (name.clone(), meaning.kind())).collect()
    }

    /// Columns that are not read, and why.
    pub fn left_out(&self) -> &[LeftOut] {
        &self.left_out
    }

    /// How many row groups there are.
    pub fn groups(&self) -> usize {
        self.file.num_row_groups()
    }

    /// How many rows there are in all of them.
    pub fn rows(&self) -> usize {
        (0..self.groups()).map(|group| self.group_rows(group)).sum()
    }

    fn group_rows(&self, group: usize) -> usize {
        let about = self.file.metadata().row_groups().get(group);
        about.and_then(|about| usize::try_from(about.num_rows()).ok()).unwrap_or(0)
    }

    /// One row group, from zero.
    ///
    /// # Errors
    /// Broken pages, packing that is not known here (snappy, gzip and none are), values that their column cannot have.
    pub fn group(&self, group: usize) -> Result<Vec<Column>, ReadError> {
        if group >= self.groups() {
            return Err(ReadError::NoGroup { group: group + 1, groups: self.groups() });
        }
        let first_row = (0..group).map(|group| self.group_rows(group)).sum();
        let rows = self.group_rows(group);
        let mut words_left = self.limits.words_bytes;
        let mut columns = Vec::with_capacity(self.columns.len());
        for (place, name, meaning) in &self.columns {
            let broken = |source| ReadError::Broken { column: name.clone(), group: group + 1, source };
            let pages = contained(|| self.file.get_row_group(group)?.get_column_reader(*place));
            let mut cells = Cells {
                column: name,
                first_row,
                rows,
                words_left: &mut words_left,
                words_most: self.limits.words_bytes,
            };
            let values = cells.read(pages.map_err(broken)?, *meaning).map_err(|error| match error {
                Trouble::Parquet(source) => broken(source),
                Trouble::Ours(error) => error,
            })?;
            if values.len() != rows {
                let found = values.len();
                return Err(ReadError::RowCount {
                    column: name.clone(),
                    group: group + 1,
                    expected: rows,
                    found,
                });
            }
            columns.push(Column { name: name.clone(), values });
        }
        Ok(columns)
    }
}

/// A whole table at once.
///
/// # Errors
/// As [`Reader::of_bytes`] and [`Reader::group`].
pub fn table(bytes: Vec<u8>, limits: Limits) -> Result<Table, ReadError> {
    let reader = Reader::of_bytes(bytes, limits)?;
    let columns = reader.columns().into_iter();
    let mut columns: Vec<Column> =
        columns.map(|(name, kind)| Column { name, values: Values::none(kind) }).collect();
    for group in 0..reader.groups() {
        for (column, part) in columns.iter_mut().zip(reader.group(group)?) {
            match (&mut column.values, part.values) {
                (Values::Numbers(cells), Values::Numbers(more)) => cells.extend(more),
                (Values::Whole(cells), Values::Whole(more)) => cells.extend(more),
                (Values::Words(cells), Values::Words(more)) => cells.extend(more),
                (Values::YesNo(cells), Values::YesNo(more)) => cells.extend(more),
                // A column keeps its kind through all row groups: its meaning was fixed when the file was opened.
                _ => {}
            }
        }
    }
    Ok(Table { notes: reader.notes, columns })
}

const fn at_most(what: &'static str, found: u64, most: u64) -> Result<(), ReadError> {
    if found > most { Err(ReadError::TooMuch { what, found, most }) } else { Ok(()) }
}

/// The library takes places in the file as they are and panics on impossible ones, so they are looked at before.
fn check_place(column: &ColumnChunkMetaData, file_bytes: u64) -> Result<(), ReadError> {
    let first = column.dictionary_page_offset().unwrap_or_else(|| column.data_page_offset());
    let place = u64::try_from(first).ok().zip(u64::try_from(column.compressed_size()).ok());
    let inside =
        place.and_then(|(start, length)| start.checked_add(length)).is_some_and(|end| end <= file_bytes);
    if inside && column.data_page_offset() >= 0 && column.num_values() >= 0 && column.uncompressed_size() >= 0
    {
        return Ok(());
    }
    let message = format!("column \"{}\" lies outside the file", column.column_path().string());
    Err(ReadError::NotParquet(ParquetError::General(message)))
}

enum Trouble {
    Parquet(ParquetError),
    Ours(ReadError),
}

impl From<ParquetError> for Trouble {
    fn from(error: ParquetError) -> Self {
        Self::Parquet(error)
    }
}

/// Reads the cells of one column of one row group.
struct Cells<'a> {
    column: &'a str,
    first_row: usize,
    rows: usize,
    words_left: &'a mut usize,
    words_most: usize,
}

impl Cells<'_> {
    fn read(&mut self, reader: ColumnReader, meaning: Meaning) -> Result<Values, Trouble> {
        Ok(match (reader, meaning) {
            (ColumnReader::BoolColumnReader(reader), _) => {
                Values::YesNo(self.cells(reader, |_, value| Ok(Some(value)))?)
            }
            (ColumnReader::FloatColumnReader(reader), _) => {
                Values::Numbers(self.cells(reader, |_, value| Ok(number(f64::from(value))))?)
            }
            (ColumnReader::DoubleColumnReader(reader), _) => {
                Values::Numbers(self.cells(reader, |_, value| Ok(number(value)))?)
            }
            (ColumnReader::Int32ColumnReader(reader), Meaning::Unsigned) => {
                Values::Whole(self.cells(reader, |_, value| Ok(Some(i64::from(value.cast_unsigned()))))?)
            }
            (ColumnReader::Int32ColumnReader(reader), meaning) => self.whole(reader, meaning, i64::from)?,
            (ColumnReader::Int64ColumnReader(reader), meaning) => {
                self.whole(reader, meaning, |value| value)?
            }
            (ColumnReader::ByteArrayColumnReader(reader), Meaning::Decimal(over)) => {
                Values::Numbers(self.cells(reader, |_, value| decimal(value.data(), over))?)
            }
            (ColumnReader::FixedLenByteArrayColumnReader(reader), Meaning::Decimal(over)) => {
                Values::Numbers(self.cells(reader, |_, value| decimal(value.data(), over))?)
            }
            (ColumnReader::ByteArrayColumnReader(reader), _) => {
                Values::Words(self.cells(reader, |left, value| {
                    let text = core::str::from_utf8(value.data()).map_err(|error| {
                        Wrong::Value(format!("byte {} of its text is not UTF-8", error.valid_up_to()))
                    })?;
                    *left = left.checked_sub(text.len()).ok_or(Wrong::TooManyWords)?;
                    Ok(Some(text.to_owned()))
                })?)
            }
            _ => {
                return Err(
                    ParquetError::General("it is stored in a way that is not known".to_owned()).into()
                );
            }
        })
    }

    fn whole<T: DataType>(
        &mut self,
        reader: ColumnReaderImpl<T>,
        meaning: Meaning,
        widen: impl Fn(T::T) -> i64,
    ) -> Result<Values, Trouble> {
        let no_time =
            |value: i64| move || Wrong::Value(format!("{value} is no time between the years -9999 and 9999"));
        Ok(match meaning {
            Meaning::Decimal(over) => Values::Numbers(self.cells(reader, |_, value| {
                #[expect(
                    clippy::cast_precision_loss,
                    reason = "a decimal of more than 15 digits is rounded to the nearest f64"
                )]
                Ok(Some(widen(value) as f64 / over))
            })?),
            Meaning::Day => Values::Words(self.cells(reader, |_, value| {
                let value = widen(value);
                stored::day(value).map(Some).ok_or_else(no_time(value))
            })?),
            Meaning::Instant(parts) => Values::Words(self.cells(reader, |_, value| {
                let value = widen(value);
                stored::instant(value, parts, Zone::Universal).map(Some).ok_or_else(no_time(value))
            })?),
            Meaning::WallTime(parts) => Values::Words(self.cells(reader, |_, value| {
                let value = widen(value);
                stored::instant(value, parts, Zone::NotSaid).map(Some).ok_or_else(no_time(value))
            })?),
            Meaning::Unsigned => Values::Whole(self.cells(reader, |_, value| {
                let value = widen(value);
                if value < 0 {
                    return Err(Wrong::Value(format!(
                        "{} is larger than a whole number can be here",
                        value.cast_unsigned()
                    )));
                }
                Ok(Some(value))
            })?),
            _ => Values::Whole(self.cells(reader, |_, value| Ok(Some(widen(value))))?),
        })
    }

    fn cells<T: DataType, V>(
        &mut self,
        mut reader: ColumnReaderImpl<T>,
        unpack: impl Fn(&mut usize, T::T) -> Result<Option<V>, Wrong>,
    ) -> Result<Vec<Option<V>>, Trouble> {
        let mut cells = Vec::with_capacity(self.rows.min(BATCH));
        let (mut values, mut levels) = (Vec::with_capacity(BATCH), Vec::with_capacity(BATCH));
        while cells.len() <= self.rows {
            values.clear();
            levels.clear();
            let (records, known, _) =
                contained(|| reader.read_records(BATCH, Some(&mut levels), None, &mut values))?;
            if records == 0 {
                break;
            }
            // A column without unknown cells has no levels.
            let every = levels.is_empty();
            let mut known = values.drain(..known.min(values.len()));
            for place in 0..records {
                let there = every || levels.get(place).is_some_and(|level| *level > 0);
                let value = if there { known.next() } else { None };
                let row = self.first_row + cells.len() + 1;
                cells.push(match value {
                    None => None,
                    Some(value) => unpack(self.words_left, value).map_err(|wrong| self.wrong(wrong, row))?,
                });
            }
        }
        Ok(cells)
    }

    fn wrong(&self, wrong: Wrong, row: usize) -> Trouble {
        Trouble::Ours(match wrong {
            Wrong::Value(message) => ReadError::Value { column: self.column.to_owned(), row, message },
            Wrong::TooManyWords => ReadError::TooMuch {
                what: "or more bytes of text in a row group",
                found: self.words_most as u64 + 1,
                most: self.words_most as u64,
            },
        })
    }
}

/// What is wrong with one value.
enum Wrong {
    Value(String),
    TooManyWords,
}

/// A number, unless it is none.
const fn number(value: f64) -> Option<f64> {
    if value.is_nan() { None } else { Some(value) }
}

fn decimal(bytes: &[u8], over: f64) -> Result<Option<f64>, Wrong> {
    let whole = stored::big_endian(bytes);
    let wrong = || Wrong::Value(format!("a decimal of {} bytes cannot be read", bytes.len()));
    whole.map(|whole| Some(whole / over)).ok_or_else(wrong)
}
