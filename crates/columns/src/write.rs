//! Writing a table.

use std::io::Write;
use std::sync::Arc;

use parquet::basic::{Compression, LogicalType, Repetition, Type as Physical};
use parquet::column::writer::ColumnWriter;
use parquet::data_type::ByteArray;
use parquet::errors::ParquetError;
use parquet::file::metadata::KeyValue;
use parquet::file::properties::{EnabledStatistics, WriterProperties};
use parquet::file::writer::SerializedFileWriter;
use parquet::schema::types::Type;

use crate::table::{Column, Kind, Table, Values};

/// Why a table was not written.
#[derive(Debug, thiserror::Error)]
pub enum WriteError {
    /// Two columns have one name.
    #[error("two columns are called \"{name}\"")]
    SameName {
        /// The name.
        name: String,
    },
    /// The columns of a row group are not those the file was begun with.
    #[error("column {place} should be \"{expected}\" of {}, and is \"{found}\" of {}", expected_kind.word(), found_kind.word())]
    OtherColumn {
        /// Which, from one.
        place: usize,
        /// Its name by the beginning of the file.
        expected: String,
        /// Its kind by the beginning of the file.
        expected_kind: Kind,
        /// The name that came.
        found: String,
        /// The kind that came.
        found_kind: Kind,
    },
    /// A row group has too many or too few columns.
    #[error("there should be {expected} columns, and there are {found}")]
    ColumnCount {
        /// By the beginning of the file.
        expected: usize,
        /// That came.
        found: usize,
    },
    /// Columns of unequal length.
    #[error("column \"{name}\" has {found} rows, the first column has {expected}")]
    UnequalLength {
        /// The column.
        name: String,
        /// Rows of the first column.
        expected: usize,
        /// Rows of this one.
        found: usize,
    },
    /// The file could not be written.
    #[error("the columns could not be written")]
    Sink(#[from] ParquetError),
}

/// Writes a file row group by row group. Without [`Writer::finish`] what was written cannot be read.
pub struct Writer<W: Write + Send> {
    file: SerializedFileWriter<W>,
    columns: Vec<(String, Kind)>,
}

impl<W: Write + Send> Writer<W> {
    /// Begins a file.
    ///
    /// # Errors
    /// Two columns of one name, or a sink that does not take bytes.
    pub fn new(sink: W, columns: &[(String, Kind)]) -> Result<Self, WriteError> {
        for (place, (name, _)) in columns.iter().enumerate() {
            if columns.iter().take(place).any(|(other, _)| other == name) {
                return Err(WriteError::SameName { name: name.clone() });
            }
        }
        let fields = columns.iter().map(|(name, kind)| field(name, *kind).map(Arc::new));
        let schema =
            Type::group_type_builder("table").with_fields(fields.collect::<Result<_, _>>()?).build()?;
        let properties = WriterProperties::builder()
            .set_compression(Compression::SNAPPY)
            .set_statistics_enabled(EnabledStatistics::Chunk)
            .set_created_by("reseat".to_owned())
            .build();
        let file = SerializedFileWriter::new(sink, Arc::new(schema), Arc::new(properties))?;
        Ok(Self { file, columns: columns.to_vec() })
    }

    /// Adds a note; it may be known only at the end.
    pub fn note(&mut self, key: &str, text: &str) {
        self.file.append_key_value_metadata(KeyValue::new(key.to_owned(), text.to_owned()));
    }

    /// Writes one row group: some ten thousand to a million rows are a good size.
    ///
    /// # Errors
    /// Columns other than those the file was begun with, unequal lengths, a sink that does not take bytes.
    pub fn rows(&mut self, columns: &[Column]) -> Result<(), WriteError> {
        if columns.len() != self.columns.len() {
            return Err(WriteError::ColumnCount { expected: self.columns.len(), found: columns.len() });
        }
        let rows = columns.first().map_or(0, |column| column.values.len());
        for (place, (column, (name, kind))) in columns.iter().zip(&self.columns).enumerate() {
            if column.name != *name || column.values.kind() != *kind {
                return Err(WriteError::OtherColumn {
                    place: place + 1,
                    expected: name.clone(),
                    expected_kind: *kind,
                    found: column.name.clone(),
                    found_kind: column.values.kind(),
                });
            }
            let found = column.values.len();
            if found != rows {
                return Err(WriteError::UnequalLength { name: name.clone(), expected: rows, found });
            }
        }
        if rows == 0 {
            return Ok(());
        }
        let mut group = self.file.next_row_group()?;
        for column in columns {
            if let Some(mut place) = group.next_column()? {
                cells(place.untyped(), &column.values)?;
                place.close()?;
            }
        }
        group.close()?;
        Ok(())
    }

    /// Ends the file and gives the sink back.
    ///
    /// # Errors
    /// A sink that does not take bytes.
    pub fn finish(self) -> Result<W, WriteError> {
        Ok(self.file.into_inner()?)
    }
}

/// Rows of one row group when a whole table is written.
const GROUP_ROWS: usize = 131_072;

/// A table as the bytes of a file.
///
/// # Errors
/// Two columns of one name, or columns of unequal length.
pub fn table(table: &Table) -> Result<Vec<u8>, WriteError> {
    let columns: Vec<_> =
        table.columns.iter().map(|column| (column.name.clone(), column.values.kind())).collect();
    let mut writer = Writer::new(Vec::new(), &columns)?;
    for (key, text) in &table.notes {
        writer.note(key, text);
    }
    let rows = table.rows();
    for column in &table.columns {
        let found = column.values.len();
        if found != rows {
            return Err(WriteError::UnequalLength { name: column.name.clone(), expected: rows, found });
        }
    }
    for from in (0..rows).step_by(GROUP_ROWS) {
        let to = rows.min(from + GROUP_ROWS);
        let part: Vec<Column> = table
            .columns
            .iter()
            .map(|column| Column { name: column.name.clone(), values: slice(&column.values, from, to) })
            .collect();
        writer.rows(&part)?;
    }
    writer.finish()
}

fn slice(values: &Values, from: usize, to: usize) -> Values {
    fn part<T: Clone>(cells: &[Option<T>], from: usize, to: usize) -> Vec<Option<T>> {
        cells.get(from..to).unwrap_or_default().to_vec()
    }
    match values {
        Values::Numbers(cells) => Values::Numbers(part(cells, from, to)),
        Values::Whole(cells) => Values::Whole(part(cells, from, to)),
        Values::Words(cells) => Values::Words(part(cells, from, to)),
        Values::YesNo(cells) => Values::YesNo(part(cells, from, to)),
    }
}

fn field(name: &str, kind: Kind) -> Result<Type, ParquetError> {
    let (physical, logical) = match kind {
        Kind::Numbers => (Physical::DOUBLE, None),
        Kind::Whole => (Physical::INT64, None),
        Kind::Words => (Physical::BYTE_ARRAY, Some(LogicalType::String)),
        Kind::YesNo => (Physical::BOOLEAN, None),
    };
    Type::primitive_type_builder(name, physical)
        .with_repetition(Repetition::OPTIONAL)
        .with_logical_type(logical)
        .build()
}

/// The known cells packed, and for every cell whether it is known (one) or not (zero).
fn packed<T, P>(cells: &[Option<T>], pack: impl Fn(&T) -> Option<P>) -> (Vec<P>, Vec<i16>) {
    let mut known = Vec::with_capacity(cells.len());
    let levels = cells.iter().map(|cell| match cell.as_ref().and_then(&pack) {
        Some(value) => {
            known.push(value);
            1
        }
        None => 0,
    });
    let levels = levels.collect();
    (known, levels)
}

fn cells(place: &mut ColumnWriter<'_>, values: &Values) -> Result<(), ParquetError> {
    let other = || ParquetError::General("a column is stored in another way than it was begun".to_owned());
    match (place, values) {
        (ColumnWriter::DoubleColumnWriter(writer), Values::Numbers(cells)) => {
            let (known, levels) = packed(cells, |cell| (!cell.is_nan()).then_some(*cell));
            writer.write_batch(&known, Some(&levels), None)?;
        }
        (ColumnWriter::Int64ColumnWriter(writer), Values::Whole(cells)) => {
            let (known, levels) = packed(cells, |cell| Some(*cell));
            writer.write_batch(&known, Some(&levels), None)?;
        }
        (ColumnWriter::ByteArrayColumnWriter(writer), Values::Words(cells)) => {
            let (known, levels) = packed(cells, |cell| Some(ByteArray::from(cell.as_str())));
            writer.write_batch(&known, Some(&levels), None)?;
        }
        (ColumnWriter::BoolColumnWriter(writer), Values::YesNo(cells)) => {
            let (known, levels) = packed(cells, |cell| Some(*cell));
            writer.write_batch(&known, Some(&levels), None)?;
        }
        _ => return Err(other()),
    }
    Ok(())
}
