//! Spreadsheets are archives: what is in one, and whether unpacking it stays within bounds.

use std::io::{Cursor, Read as _};

use zip::ZipArchive;

use crate::limits::{LARGEST_UNPACKED, MOST_ENTRIES};
use crate::mapping::Mapping;
use crate::source::{Source, SourceError, open_document, workbook};

/// Opens a spreadsheet.
///
/// # Errors
/// It is damaged, no spreadsheet, or more than is read.
pub fn open(bytes: &[u8], mapping: &Mapping) -> Result<Source, SourceError> {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).map_err(SourceError::Packed)?;
    if archive.len() > MOST_ENTRIES {
        let what = format!("{} files", archive.len());
        return Err(SourceError::Swollen { what, most: MOST_ENTRIES.to_string() });
    }
    // What an archive says of its own size need not be true: everything is unpacked once and counted.
    let mut total = 0;
    let mut buffer = vec![0; 1 << 16];
    let (mut is_workbook, mut is_document) = (false, false);
    for place in 0..archive.len() {
        let mut entry = archive.by_index(place).map_err(SourceError::Packed)?;
        let name = entry.name().map_err(SourceError::Packed)?;
        is_workbook |= name == "xl/workbook.xml";
        is_document |= name == "content.xml";
        loop {
            let read = entry
                .read(&mut buffer)
                .map_err(|source| SourceError::Packed(zip::result::ZipError::Io(source)))?;
            if read == 0 {
                break;
            }
            total += read as u64;
            if total > LARGEST_UNPACKED {
                let megabytes = |bytes: u64| format!("{} MiB", bytes >> 20);
                let what = format!("over {}", megabytes(total));
                return Err(SourceError::Swollen { what, most: megabytes(LARGEST_UNPACKED) });
            }
        }
    }
    if is_workbook {
        workbook::open(bytes, mapping)
    } else if is_document {
        open_document::open(&mut archive, mapping)
    } else {
        Err(SourceError::NotText { why: "it is an archive without a spreadsheet in it" })
    }
}
