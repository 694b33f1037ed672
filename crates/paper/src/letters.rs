//! Letters: the two fonts of a document, how wide a text runs in them, and where it breaks.

use krilla::text::Font;
use ttf_parser::Face;

/// A font with its measures.
pub(crate) struct Letters {
    pub(crate) font: Font,
    face: Face<'static>,
    /// Advances of the letters that most texts are made of, by their number.
    common: Vec<u32>,
}

/// How far a letter moves the pen, in the font's units.
fn advance(face: &Face<'_>, c: char) -> u32 {
    let glyph = face.glyph_index(c).unwrap_or_default();
    u32::from(face.glyph_hor_advance(glyph).unwrap_or(0))
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
        let common = (0..=u8::MAX).map(|c| advance(&face, char::from(c))).collect();
        Some(Self { font, face, common })
    }

    /// How far a letter moves the pen, in the font's units.
    fn advance(&self, c: char) -> u32 {
        match self.common.get(c as usize) {
            Some(advance) => *advance,
            None => advance(&self.face, c),
        }
    }

    /// Width of a text at a size, both in points.
    pub(crate) fn width(&self, text: &str, size: f32) -> f32 {
        self.points(text.chars().map(|c| self.advance(c)).sum(), size)
    }

    fn points(&self, units: u32, size: f32) -> f32 {
        units as f32 * size / f32::from(self.face.units_per_em())
    }

    /// The text in lines of at most a width; a word longer than a line is broken where it must be. Each letter is looked at
    /// twice at most, however long a word is.
    pub(crate) fn lines(&self, text: &str, size: f32, width: f32) -> Vec<String> {
        let text = printable(text);
        let fits = |units: u32| self.points(units, size) <= width;
        let space = self.advance(' ');
        let (mut lines, mut line, mut used) = (Vec::new(), String::new(), 0);
        for word in text.split_whitespace() {
            let wide: u32 = word.chars().map(|c| self.advance(c)).sum();
            if !line.is_empty() && fits(used + space + wide) {
                line.push(' ');
                line.push_str(word);
                used += space + wide;
                continue;
            }
            if !line.is_empty() {
                lines.push(core::mem::take(&mut line));
                used = 0;
            }
            for c in word.chars() {
                let wide = self.advance(c);
                if !line.is_empty() && !fits(used + wide) {
                    lines.push(core::mem::take(&mut line));
                    used = 0;
                }
                line.push(c);
                used += wide;
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
