//! Bytes as text: which encoding it is, and a word about it.

use std::borrow::Cow;

use encoding_rs::{Encoding, UTF_8, UTF_16BE, UTF_16LE, WINDOWS_1252};

use crate::source::SourceError;

/// How the cells of a text file are read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// Each cell as UTF-8, or as windows-1252 where it is none.
    CellByCell,
    /// All in one encoding that keeps ASCII bytes as they are.
    All(&'static Encoding),
}

/// Text whose ASCII bytes stand for themselves, how its cells are read, and a word about it.
#[derive(Debug)]
pub struct Found {
    /// Bytes.
    pub bytes: Vec<u8>,
    /// How cells are read.
    pub reading: Reading,
    /// A word about it.
    pub remark: String,
}

/// Share of zero bytes at even or odd places that makes a text UTF-16.
const ZEROS: f64 = 0.3;

fn utf_16_without_mark(bytes: &[u8]) -> Option<&'static Encoding> {
    let head = bytes.get(..bytes.len().min(4096))?;
    let zeros = |from: usize| {
        let half = head.iter().skip(from).step_by(2);
        half.clone().filter(|byte| **byte == 0).count() as f64 / half.count().max(1) as f64
    };
    let (even, odd) = (zeros(0), zeros(1));
    if odd > ZEROS && even < 0.05 {
        Some(UTF_16LE)
    } else if even > ZEROS && odd < 0.05 {
        Some(UTF_16BE)
    } else {
        None
    }
}

/// Finds the encoding of a text file, or takes the one that a person said.
///
/// # Errors
/// A label nobody knows, or bytes that are no text.
pub fn find(bytes: Vec<u8>, said: Option<&str>) -> Result<Found, SourceError> {
    let said = said
        .map(|label| {
            Encoding::for_label(label.as_bytes())
                .ok_or_else(|| SourceError::NoSuchEncoding { label: label.to_owned() })
        })
        .transpose()?;
    let marked = Encoding::for_bom(&bytes);
    let (encoding, why) = match (marked, said) {
        (Some((encoding, _)), _) => (Some(encoding), "by its byte order mark"),
        (None, Some(encoding)) => (Some(encoding), "as the mapping says"),
        (None, None) => (utf_16_without_mark(&bytes), "by its zero bytes"),
    };
    let skip = marked.map_or(0, |(_, length)| length);
    match encoding {
        Some(encoding) if encoding == UTF_16LE || encoding == UTF_16BE => {
            let (text, damaged) = encoding.decode_without_bom_handling(bytes.get(skip..).unwrap_or_default());
            let damage = if damaged { "; some of it is damaged" } else { "" };
            let remark = format!("text in {} ({why}){damage}", encoding.name());
            Ok(Found { bytes: text.into_owned().into_bytes(), reading: Reading::All(UTF_8), remark })
        }
        _ if bytes.contains(&0) => Err(SourceError::NotText { why: "it holds zero bytes" }),
        Some(encoding) if encoding.is_ascii_compatible() && said.is_some() && marked.is_none() => {
            let remark = format!("text in {} ({why})", encoding.name());
            Ok(Found { bytes, reading: Reading::All(encoding), remark })
        }
        Some(encoding) if marked.is_none() => {
            let (text, _) = encoding.decode_without_bom_handling(&bytes);
            let remark = format!("text in {} ({why})", encoding.name());
            Ok(Found { bytes: text.into_owned().into_bytes(), reading: Reading::All(UTF_8), remark })
        }
        marked => {
            let mut bytes = bytes;
            bytes.drain(..skip.min(bytes.len()));
            let remark = if marked.is_some() {
                "text in UTF-8 (by its byte order mark)".to_owned()
            } else if bytes.is_ascii() {
                "plain ASCII text".to_owned()
            } else if core::str::from_utf8(&bytes).is_ok() {
                "text in UTF-8".to_owned()
            } else {
                "text that is not all UTF-8".to_owned()
            };
            Ok(Found { bytes, reading: Reading::CellByCell, remark })
        }
    }
}

/// One cell as text, and whether it had to be taken for windows-1252.
pub fn cell<'b>(bytes: &'b [u8], reading: Reading) -> (Cow<'b, str>, bool) {
    match reading {
        Reading::CellByCell => match core::str::from_utf8(bytes) {
            Ok(text) => (Cow::Borrowed(text), false),
            Err(_) => (WINDOWS_1252.decode_without_bom_handling(bytes).0, true),
        },
        Reading::All(encoding) => (encoding.decode_without_bom_handling(bytes).0, false),
    }
}

#[cfg(test)]
mod tests {
    use super::{cell, find};

    /// Whole text, decoded as one cell.
    fn read(bytes: &[u8], said: Option<&str>) -> String {
        let found = find(bytes.to_vec(), said).unwrap();
        cell(&found.bytes, found.reading).0.into_owned()
    }

    #[test]
    fn the_usual_encodings_are_told_apart() {
        // Unicode 16: é is U+00E9, € is U+20AC. WHATWG index windows-1252: bytes E9 and 80.
        assert_eq!(read("é€".as_bytes(), None), "é€");
        assert_eq!(read(b"\xEF\xBB\xBF\xC3\xA9", None), "é");
        assert_eq!(read(b"\xE9\x80", None), "é€");
        assert_eq!(read(b"\xFF\xFEa\0,\0b\0\xAC\x20", None), "a,b€");
        assert_eq!(read(b"\xFE\xFF\0a\0,\0b", None), "a,b");
        assert_eq!(read(b"a\0,\0b\0,\0c\0", None), "a,b,c");
        // WHATWG index iso-8859-15: byte A4 is the euro sign.
        assert_eq!(read(b"\xA4", Some("iso-8859-15")), "€");
    }

    #[test]
    fn what_is_no_text_is_refused() {
        assert!(find(vec![1, 2, 0, 0, 0, 0, 7, 9, 200], None).is_err());
        assert!(find(b"a".to_vec(), Some("klingon")).is_err());
    }
}
