//! Letters: the two fonts of a document, how wide a text runs in them, and where it breaks.

use krilla::text::Font;
use ttf_parser::Face;

/// A font with its measures.
pub(crate) struct Letters {
    pub(crate) font: Font,
    face: Face<'static>,
}

/// The weights in use.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Weight {
    /// Running text.
    Plain,
    /// Headings and labels.
    Bold,
}

impl Letters {
    /// The letters of a weight; none where the font inside the program is damaged.
    pub(crate) fn of(weight: Weight) -> Option<Self> {
        let bytes: &'static [u8] = match weight {
            Weight::Plain => dejavu::sans::regular(),
            Weight::Bold => dejavu::sans::bold(),
        };
        let face = Face::parse(bytes, 0).ok()?;
        let font = Font::new(bytes.to_vec().into(), 0)?;
        Some(Self { font, face })
    }

    /// Width of a text at a size, both in points.
    pub(crate) fn width(&self, text: &str, size: f32) -> f32 {
        let units: u32 = text
            .chars()
            .map(|c| {
                let glyph = self.face.glyph_index(c).unwrap_or_default();
                u32::from(self.face.glyph_hor_advance(glyph).unwrap_or(0))
            })
            .sum();
        units as f32 * size / f32::from(self.face.units_per_em())
    }

    /// The text in lines of at most a width; a word longer than a line is broken where it must be.
    pub(crate) fn lines(&self, text: &str, size: f32, width: f32) -> Vec<String> {
        let text = printable(text);
        let mut lines = Vec::new();
        let mut line = String::new();
        for word in text.split_whitespace() {
            let mut rest = word;
            loop {
                let tried = if line.is_empty() { rest.to_owned() } else { format!("{line} {rest}") };
                if self.width(&tried, size) <= width {
                    line = tried;
                    break;
                }
                if line.is_empty() {
                    let mut end = rest.chars().next().map_or(rest.len(), char::len_utf8);
                    for (at, c) in rest.char_indices().skip(1) {
                        let next = at + c.len_utf8();
                        if self.width(rest.get(..next).unwrap_or(rest), size) > width {
                            break;
                        }
                        end = next;
                    }
                    let (head, tail) = rest.split_at(end);
                    lines.push(head.to_owned());
                    rest = tail;
                    if rest.is_empty() {
                        break;
                    }
                } else {
                    lines.push(core::mem::take(&mut line));
                }
            }
        }
        if !line.is_empty() || lines.is_empty() {
            lines.push(line);
        }
        lines
    }
}

/// The text without what is not printed: control characters, and those that turn the direction of what follows.
pub(crate) fn printable(text: &str) -> String {
    text.chars()
        .map(|c| if c == '\n' || c == '\t' { ' ' } else { c })
        .filter(|c| {
            !c.is_control()
                && !matches!(*c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{Letters, Weight};

    #[test]
    fn lines_keep_every_letter_and_their_width() {
        let letters = Letters::of(Weight::Plain).unwrap();
        let text =
            "The processor falls in by its own weight; aVeryLongWordWithoutAnyPlaceToBreakIt \u{1f642} end";
        for width in [3.0, 40.0, 90.0, 400.0] {
            let lines = letters.lines(text, 10.0, width);
            let joined: String = lines.concat().split_whitespace().collect();
            assert_eq!(joined, text.split_whitespace().collect::<String>());
            for line in &lines {
                assert!(letters.width(line, 10.0) <= width || line.chars().count() == 1, "{line} at {width}");
            }
        }
    }

    /// Advance of every figure: 1303 of 2048 units.
    ///
    /// # Source
    /// fontTools 4.68.0 on the same file: `TTFont(file)["hmtx"]["zero"]` and `["head"].unitsPerEm`; independent, for it
    /// shares no code with the parser used here.
    #[test]
    fn figures_stand_under_each_other() {
        let letters = Letters::of(Weight::Plain).unwrap();
        for figure in '0'..='9' {
            assert!((letters.width(&figure.to_string(), 100.0) - 130_300.0 / 2048.0).abs() < 0.01);
        }
    }
}
