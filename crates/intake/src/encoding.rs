//! Bytes to text, where a file may be in one of several encodings, or in several at once.

use core::ops::Range;

/// A text, and where it was not sure how its bytes were meant.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Decoded {
    /// The text.
    pub text: String,
    /// Bytes of the text that were no UTF-8 and were read as Windows-1252, line by line.
    pub guessed: Vec<Range<usize>>,
}

/// Bytes of the file as text: UTF-8 or UTF-16 by its mark, else UTF-8 line by line, and lines that are none as
/// Windows-1252, which office programs wrote for decades. Characters that cannot be meant become U+FFFD.
pub fn decode(bytes: &[u8]) -> Decoded {
    match bytes {
        [0xEF, 0xBB, 0xBF, rest @ ..] => lines(rest),
        [0xFF, 0xFE, rest @ ..] => utf16(rest, u16::from_le_bytes),
        [0xFE, 0xFF, rest @ ..] => utf16(rest, u16::from_be_bytes),
        _ => lines(bytes),
    }
}

fn utf16(bytes: &[u8], unit: fn([u8; 2]) -> u16) -> Decoded {
    let units = bytes
        .chunks_exact(2)
        .map(|pair| unit([pair.first().copied().unwrap_or(0), pair.last().copied().unwrap_or(0)]));
    let text = char::decode_utf16(units).map(|one| one.unwrap_or(char::REPLACEMENT_CHARACTER)).collect();
    Decoded { text, guessed: Vec::new() }
}

fn lines(bytes: &[u8]) -> Decoded {
    if let Ok(text) = core::str::from_utf8(bytes) {
        return Decoded { text: text.to_owned(), guessed: Vec::new() };
    }
    let mut out = Decoded::default();
    for line in bytes.split_inclusive(|byte| *byte == b'\n') {
        match core::str::from_utf8(line) {
            Ok(text) => out.text.push_str(text),
            Err(_) => {
                let from = out.text.len();
                out.text.extend(line.iter().copied().map(windows_1252));
                out.guessed.push(from..out.text.len());
            }
        }
    }
    out
}

/// Characters of the bytes 0x80 to 0x9F, which differ from ISO 8859-1; U+FFFD where there is none.
///
/// # Source
/// WHATWG, Encoding Standard, index windows-1252; bytes without a character there are controls, here U+FFFD.
const HIGH: [char; 32] = [
    '€', '\u{fffd}', '‚', 'ƒ', '„', '…', '†', '‡', 'ˆ', '‰', 'Š', '‹', 'Œ', '\u{fffd}', 'Ž', '\u{fffd}',
    '\u{fffd}', '‘', '’', '“', '”', '•', '–', '—', '˜', '™', 'š', '›', 'œ', '\u{fffd}', 'ž', 'Ÿ',
];

fn windows_1252(byte: u8) -> char {
    match byte {
        0x80..=0x9F => HIGH.get(usize::from(byte - 0x80)).copied().unwrap_or(char::REPLACEMENT_CHARACTER),
        _ => char::from(byte),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_in_several_encodings_are_all_read() {
        let decoded = decode(b"name\nB\xC3\xBCro\nB\xFCro 5 \x80\n");
        assert_eq!(decoded.text, "name\nBüro\nBüro 5 €\n");
        assert_eq!(
            decoded.guessed.iter().map(|span| &decoded.text[span.clone()]).collect::<Vec<_>>(),
            ["Büro 5 €\n"]
        );
    }

    #[test]
    fn marks_say_which_encoding_it_is() {
        assert_eq!(decode(b"\xEF\xBB\xBFid").text, "id");
        assert_eq!(decode(&[0xFF, 0xFE, b'i', 0, 0xAC, 0x20]).text, "i€");
        assert_eq!(decode(&[0xFE, 0xFF, 0, b'i', 0x20, 0xAC]).text, "i€");
        // Half of a pair at the end, and a surrogate alone.
        assert_eq!(decode(&[0xFF, 0xFE, b'i', 0, 0x00, 0xD8, 7]).text, "i\u{fffd}");
    }
}
