//! A list as rows of cells, whatever kind of file it is.

pub mod encoding;
pub mod open_document;
pub mod packed;
pub mod query_results;
pub mod separated;
pub mod workbook;

use core::ops::ControlFlow;

use crate::cell::Cell;
use crate::limits;
use crate::mapping::Mapping;
use crate::source::separated::Separated;

/// What a file is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// Text with separated cells.
    Separated,
    /// Office Open XML workbook (ECMA-376).
    Workbook,
    /// OpenDocument spreadsheet (ISO/IEC 26300).
    OpenDocument,
    /// SPARQL 1.1 Query Results JSON.
    QueryResults,
}

impl Format {
    /// The words used in pages and messages.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Separated => "separated text",
            Self::Workbook => "xlsx workbook",
            Self::OpenDocument => "ods spreadsheet",
            Self::QueryResults => "SPARQL query results",
        }
    }
}

/// A list that can be gone through as often as needed.
#[derive(Debug)]
pub struct Source {
    /// What it is.
    pub format: Format,
    /// How it was read: encoding, separator, sheet, for the person who looks at the preview.
    pub remarks: Vec<String>,
    rows: Rows,
}

#[derive(Debug)]
enum Rows {
    Separated(Separated),
    Kept(Vec<KeptRow>),
}

/// A row of a spreadsheet: its number from one, and its cells.
#[derive(Debug)]
pub struct KeptRow {
    /// Row, from one.
    pub number: u32,
    /// Cells.
    pub cells: Vec<Cell<'static>>,
}

/// Why a file is no list.
#[derive(Debug, thiserror::Error)]
pub enum SourceError {
    /// It is larger than is read.
    #[error("the file has {bytes} bytes, more than {most} are not read; split it")]
    TooLarge {
        /// Its size.
        bytes: usize,
        /// Largest.
        most: usize,
    },
    /// It is no text.
    #[error("the file is neither text nor a spreadsheet that is known: {why}")]
    NotText {
        /// What tells.
        why: &'static str,
    },
    /// An encoding nobody knows.
    #[error(
        "\"{label}\" is no character encoding; known are those of the WHATWG Encoding Standard, such as windows-1252"
    )]
    NoSuchEncoding {
        /// What the mapping says.
        label: String,
    },
    /// The archive of a spreadsheet cannot be opened or unpacked.
    #[error("the spreadsheet cannot be unpacked; perhaps only a part of it was saved")]
    Packed(#[source] zip::result::ZipError),
    /// The archive would fill the memory.
    #[error("the spreadsheet is {what} once unpacked, more than {most} are not read")]
    Swollen {
        /// What is too much.
        what: String,
        /// Most.
        most: String,
    },
    /// Its content is not what its kind of file holds.
    #[error("the {format} is damaged: {why}")]
    Damaged {
        /// Kind of file.
        format: &'static str,
        /// What is wrong.
        why: String,
    },
    /// A sheet that is not there.
    #[error("the workbook has no sheet \"{wanted}\"; it has: {known}")]
    NoSuchSheet {
        /// What the mapping says.
        wanted: String,
        /// Names.
        known: String,
    },
    /// Too many rows or cells.
    #[error("the list has more than {most} {what}; split it")]
    TooMany {
        /// Rows, columns or cells.
        what: &'static str,
        /// Most.
        most: usize,
    },
    /// It has no rows.
    #[error("the list is empty")]
    Empty,
}

impl Source {
    /// Opens a list. What kind of file it is, is told by its bytes, not its name.
    ///
    /// # Errors
    /// It is none, or more than is read.
    pub fn open(bytes: Vec<u8>, mapping: &Mapping) -> Result<Self, SourceError> {
        let packed = bytes.starts_with(b"PK\x03\x04") || bytes.starts_with(b"PK\x05\x06");
        let first =
            bytes.iter().find(|byte| !byte.is_ascii_whitespace() && !matches!(byte, 0xEF | 0xBB | 0xBF));
        let too_large =
            |most: usize| (bytes.len() > most).then_some(SourceError::TooLarge { bytes: bytes.len(), most });
        if packed {
            too_large(limits::LARGEST_PACKED).map_or(Ok(()), Err)?;
            return packed::open(&bytes, mapping);
        }
        if bytes.starts_with(&[0xD0, 0xCF, 0x11, 0xE0]) {
            return Err(SourceError::NotText {
                why: "it is an old binary workbook; save it as xlsx, ods or CSV",
            });
        }
        if first == Some(&b'{') {
            too_large(limits::LARGEST_PACKED).map_or(Ok(()), Err)?;
            return query_results::open(&bytes);
        }
        too_large(limits::LARGEST_TEXT).map_or(Ok(()), Err)?;
        let (separated, remarks) = Separated::open(bytes, mapping)?;
        Ok(Self { format: Format::Separated, remarks, rows: Rows::Separated(separated) })
    }

    pub(crate) const fn kept(format: Format, remarks: Vec<String>, rows: Vec<KeptRow>) -> Self {
        Self { format, remarks, rows: Rows::Kept(rows) }
    }

    /// Goes through the rows: number from one (the line, in a text file), cells.
    ///
    /// # Errors
    /// More rows than are read, or text that is cut off.
    pub fn each(&self, mut take: impl FnMut(u32, &[Cell<'_>]) -> ControlFlow<()>) -> Result<(), SourceError> {
        match &self.rows {
            Rows::Separated(separated) => separated.each(take),
            Rows::Kept(rows) => {
                for row in rows {
                    if take(row.number, &row.cells).is_break() {
                        break;
                    }
                }
                Ok(())
            }
        }
    }

    /// Words about encodings that only show once all rows have been gone through.
    pub fn later_remarks(&self) -> Vec<String> {
        match &self.rows {
            Rows::Separated(separated) => separated.later_remarks(),
            Rows::Kept(_) => Vec::new(),
        }
    }
}
