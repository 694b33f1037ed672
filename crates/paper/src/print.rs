//! A document set on pages.

use draw::document::{Block, Document};
use draw::table::{Side, Table};
use krilla::Document as Pdf;
use krilla::metadata::Metadata;

use crate::letters::Weight;
use crate::sheet::Sheets;
use crate::vector::Vector;

/// Sizes of paper.
///
/// # Source
/// ISO 216 (A4, 210 mm by 297 mm); ANSI/ASME Y14.1 (Letter, 8.5 inch by 11 inch).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    /// 210 mm by 297 mm.
    A4,
    /// 8.5 inch by 11 inch.
    Letter,
}

impl Paper {
    /// Width and height in points, of which 72 are an inch.
    pub const fn size_pt(self) -> (f32, f32) {
        match self {
            Self::A4 => (595.276, 841.89),
            Self::Letter => (612.0, 792.0),
        }
    }
}

/// Why there is no PDF.
#[derive(Debug, thiserror::Error)]
pub enum NoPrint {
    /// The font inside the program cannot be read.
    #[error("the font inside reseat is damaged; install it anew")]
    Font,
    /// The library for PDF refused.
    #[error("the PDF could not be made: {0}")]
    Refused(String),
}

const TEXT: f32 = 9.5;
const TITLE: f32 = 16.0;
const HEADING: f32 = 11.5;
/// Line to line, as a share of the letters' size.
const LEADING: f32 = 1.32;
/// A table that takes no more than this of a sheet is not broken.
const SHORT: f32 = 0.5;
/// Between the columns of a table.
const GUTTER: f32 = 10.0;

/// Sets a text in lines from `x` on; gives nothing back, moves down.
fn running(sheets: &mut Sheets, x: f32, size: f32, weight: Weight, text: &str) {
    let lines = sheets.letters(weight).lines(text, size, sheets.width() - x);
    for line in lines {
        sheets.room(size * LEADING);
        sheets.y += size * LEADING;
        let y = sheets.y - 0.25 * size;
        sheets.text(x, y, size, weight, &line);
    }
}

/// Widths of the columns: as wide as they would be, the widest cut until all fit.
fn widths(sheets: &Sheets, table: &Table) -> Vec<f32> {
    let natural = |column: usize| {
        let heading = table.headings().get(column).map_or(0.0, |(text, _)| sheets.bold.width(text, TEXT));
        let cells =
            table.rows().iter().filter_map(|row| row.get(column)).map(|cell| sheets.plain.width(cell, TEXT));
        cells.fold(heading, f32::max).max(20.0) + 1.0
    };
    let mut widths: Vec<f32> = (0..table.headings().len()).map(natural).collect();
    let room = sheets.width() - GUTTER * widths.len().saturating_sub(1) as f32;
    while widths.iter().sum::<f32>() > room {
        let Some(widest) = widths.iter_mut().max_by(|a, b| a.total_cmp(b)) else { break };
        if *widest <= 30.0 {
            break;
        }
        *widest -= 2.0;
    }
    widths
}

/// The lines of a row's cells.
fn lines(sheets: &Sheets, widths: &[f32], cells: &[String], weight: Weight) -> Vec<Vec<String>> {
    let letters = sheets.letters(weight);
    cells.iter().zip(widths).map(|(cell, width)| letters.lines(cell, TEXT, *width)).collect()
}

fn height(lines: &[Vec<String>]) -> f32 {
    lines.iter().map(Vec::len).max().unwrap_or(1) as f32 * TEXT * LEADING + 4.0
}

fn headings(table: &Table) -> Vec<String> {
    table.headings().iter().map(|(text, _)| text.clone()).collect()
}

/// How much room a table wants at once: all of it where it is short, else its heading and a row or two.
fn wants(sheets: &Sheets, table: &Table) -> f32 {
    let widths = widths(sheets, table);
    let rows = table.rows().iter().map(|cells| height(&lines(sheets, &widths, cells, Weight::Plain)));
    let whole = height(&lines(sheets, &widths, &headings(table), Weight::Bold)) + rows.sum::<f32>();
    if whole <= SHORT * sheets.height() { whole } else { 4.0 * TEXT * LEADING }
}

fn row(sheets: &mut Sheets, table: &Table, widths: &[f32], cells: &[String], weight: Weight) {
    let lines = lines(sheets, widths, cells, weight);
    let height = height(&lines);
    sheets.room(height);
    let mut x = 0.0;
    for ((lines, width), (_, side)) in lines.iter().zip(widths).zip(table.headings()) {
        for (place, line) in lines.iter().enumerate() {
            let y = sheets.y + (place as f32 + 1.0) * TEXT * LEADING - 0.25 * TEXT;
            let shift = match side {
                Side::Left => 0.0,
                Side::Right => width - sheets.letters(weight).width(line, TEXT),
            };
            sheets.text(x + shift, y, TEXT, weight, line);
        }
        x += width + GUTTER;
    }
    sheets.y += height;
    let (y, right) = (sheets.y, sheets.width());
    sheets.line(0.0, right, y, if weight == Weight::Bold { 0.9 } else { 0.3 });
}

fn set_table(sheets: &mut Sheets, table: &Table) {
    let widths = widths(sheets, table);
    let headings = headings(table);
    // The heading does not stand alone at a sheet's end, and a short table is not broken.
    sheets.room(wants(sheets, table));
    row(sheets, table, &widths, &headings, Weight::Bold);
    for cells in table.rows() {
        // On the next sheet the headings stand again.
        if !sheets.has_room(height(&lines(sheets, &widths, cells, Weight::Plain))) {
            sheets.turn();
            row(sheets, table, &widths, &headings, Weight::Bold);
        }
        row(sheets, table, &widths, cells, Weight::Plain);
    }
    sheets.y += 4.0;
}

fn block(sheets: &mut Sheets, block: &Block, next: Option<&Block>) {
    match block {
        Block::Heading(text) => {
            // A heading stays with what it heads.
            let next = match next {
                Some(Block::Table(table)) => wants(sheets, table),
                _ => 3.0 * TEXT * LEADING,
            };
            sheets.room(HEADING * LEADING + next + 12.0);
            sheets.y += 10.0;
            running(sheets, 0.0, HEADING, Weight::Bold, text);
            sheets.y += 2.0;
        }
        Block::Text(text) => {
            running(sheets, 0.0, TEXT, Weight::Plain, text);
            sheets.y += 3.0;
        }
        Block::Labelled(label, text) => {
            running(sheets, 0.0, TEXT, Weight::Plain, &format!("{label}: {text}"));
            sheets.y += 1.5;
        }
        Block::Item(text) => {
            sheets.room(TEXT * LEADING);
            let y = sheets.y + TEXT * LEADING - 0.25 * TEXT;
            sheets.text(2.0, y, TEXT, Weight::Plain, "\u{2022}");
            running(sheets, 12.0, TEXT, Weight::Plain, text);
            sheets.y += 1.5;
        }
        Block::Table(table) => set_table(sheets, table),
        Block::Ticked(is_ticked, text) => {
            sheets.room(TEXT * LEADING);
            let y = sheets.y + 0.35 * TEXT;
            sheets.tick_box(0.5, y, 8.0, *is_ticked);
            running(sheets, 16.0, TEXT, Weight::Plain, text);
            sheets.y += 2.0;
        }
        Block::Picture(svg, words) => match Vector::of(svg) {
            Some(picture) => sheets.picture(picture),
            // What cannot be drawn is said.
            None => running(sheets, 0.0, TEXT, Weight::Plain, words),
        },
        Block::Line(label) => {
            sheets.room(26.0);
            sheets.y += 24.0;
            let (y, right) = (sheets.y, sheets.width());
            sheets.text(0.0, y - 3.0, TEXT, Weight::Plain, label);
            let from = sheets.plain.width(label, TEXT) + 6.0;
            sheets.line(from.min(right), right, y, 0.5);
            sheets.y += 2.0;
        }
    }
}

/// The document as PDF; the fonts it uses are inside.
///
/// # Errors
/// The font inside the program is damaged, or the library for PDF refuses.
pub fn pdf(document: &Document, paper: Paper) -> Result<Vec<u8>, NoPrint> {
    let mut sheets = Sheets::new(paper).ok_or(NoPrint::Font)?;
    running(&mut sheets, 0.0, TITLE, Weight::Bold, &document.title);
    sheets.y += 4.0;
    for (place, one) in document.blocks.iter().enumerate() {
        block(&mut sheets, one, document.blocks.get(place + 1));
    }
    let mut pdf = Pdf::new();
    pdf.set_metadata(Metadata::new().title(document.title.clone()).language("en".to_owned()));
    sheets
        .onto(&mut pdf, &document.title)
        .ok_or_else(|| NoPrint::Refused("a page without size".to_owned()))?;
    pdf.finish().map_err(|error| NoPrint::Refused(format!("{error:?}")))
}
