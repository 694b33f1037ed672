//! Sheets of paper being filled from the top, a new one begun where one is full.

use krilla::Document as Pdf;
use krilla::color::rgb;
use krilla::geom::{PathBuilder, Point};
use krilla::page::PageSettings;
use krilla::paint::{Fill, Stroke};
use krilla::text::TextDirection;

use crate::letters::{Letters, Weight, printable};
use crate::print::Paper;
use crate::vector::Vector;

/// Something on a sheet, its place measured from the upper left corner in points.
enum Mark {
    Text { x: f32, y: f32, size: f32, weight: Weight, text: String },
    Line { from: (f32, f32), to: (f32, f32), thick: f32 },
    Box { corner: (f32, f32), side: f32, is_ticked: bool },
    Picture { corner: (f32, f32), width: f32, picture: Vector },
}

/// Margin on all sides: 16 mm.
pub(crate) const MARGIN: f32 = 45.4;
/// Room for the foot below the margin's line.
const FOOT: f32 = 16.0;

/// The sheets.
pub(crate) struct Sheets {
    paper: Paper,
    pub(crate) plain: Letters,
    pub(crate) bold: Letters,
    done: Vec<Vec<Mark>>,
    now: Vec<Mark>,
    /// How far down the current sheet is filled.
    pub(crate) y: f32,
}

impl Sheets {
    pub(crate) fn new(paper: Paper) -> Option<Self> {
        Some(Self {
            paper,
            plain: Letters::of(Weight::Plain)?,
            bold: Letters::of(Weight::Bold)?,
            done: Vec::new(),
            now: Vec::new(),
            y: MARGIN,
        })
    }

    pub(crate) fn width(&self) -> f32 {
        self.paper.size_pt().0 - 2.0 * MARGIN
    }

    pub(crate) const fn letters(&self, weight: Weight) -> &Letters {
        match weight {
            Weight::Plain => &self.plain,
            Weight::Bold => &self.bold,
        }
    }

    /// How far down a sheet may be filled.
    fn bottom(&self) -> f32 {
        self.paper.size_pt().1 - MARGIN - FOOT
    }

    /// Room on an empty sheet.
    pub(crate) fn height(&self) -> f32 {
        self.bottom() - MARGIN
    }

    /// Whether so much has room on this sheet; on an empty one everything has.
    pub(crate) fn has_room(&self, height: f32) -> bool {
        self.y + height <= self.bottom() || self.y <= MARGIN
    }

    /// Begins a new sheet.
    pub(crate) fn turn(&mut self) {
        self.done.push(core::mem::take(&mut self.now));
        self.y = MARGIN;
    }

    /// Makes sure of so much room, on a new sheet where this one has less.
    pub(crate) fn room(&mut self, height: f32) {
        if !self.has_room(height) {
            self.turn();
        }
    }

    pub(crate) fn text(&mut self, x: f32, y: f32, size: f32, weight: Weight, text: &str) {
        self.now.push(Mark::Text { x: MARGIN + x, y, size, weight, text: printable(text) });
    }

    pub(crate) fn line(&mut self, from: f32, to: f32, y: f32, thick: f32) {
        self.now.push(Mark::Line { from: (MARGIN + from, y), to: (MARGIN + to, y), thick });
    }

    pub(crate) fn tick_box(&mut self, x: f32, y: f32, side: f32, is_ticked: bool) {
        self.now.push(Mark::Box { corner: (MARGIN + x, y), side, is_ticked });
    }

    /// A picture over the whole width, on a new sheet where this one has no room for it.
    pub(crate) fn picture(&mut self, picture: Vector) {
        // A picture that is higher than a sheet is drawn smaller.
        let width = self.width().min(self.width() * self.height() / picture.height(self.width()));
        let height = picture.height(width);
        self.room(height + 6.0);
        self.now.push(Mark::Picture { corner: (MARGIN, self.y + 2.0), width, picture });
        self.y += height + 8.0;
    }

    /// Puts every sheet on a page of its own, with a foot.
    pub(crate) fn onto(mut self, pdf: &mut Pdf, foot: &str) -> Option<()> {
        self.done.push(core::mem::take(&mut self.now));
        let (width, height) = self.paper.size_pt();
        let count = self.done.len();
        for (marks, number) in self.done.iter().zip(1..) {
            let mut page = pdf.start_page_with(PageSettings::from_wh(width, height)?);
            let mut surface = page.surface();
            let ink = Fill { paint: rgb::Color::new(20, 28, 32).into(), ..Fill::default() };
            let words = format!("{foot}, page {number} of {count}");
            let foot_line =
                self.plain.lines(&words, 8.0, self.width()).into_iter().next().unwrap_or_default();
            let foot_mark = Mark::Text {
                x: MARGIN,
                y: height - MARGIN + 4.0,
                size: 8.0,
                weight: Weight::Plain,
                text: foot_line,
            };
            for mark in marks.iter().chain([&foot_mark]) {
                match mark {
                    Mark::Text { x, y, size, weight, text } => {
                        surface.set_stroke(None);
                        surface.set_fill(Some(ink.clone()));
                        let font = self.letters(*weight).font.clone();
                        surface.draw_text(
                            Point::from_xy(*x, *y),
                            font,
                            *size,
                            text,
                            false,
                            TextDirection::Auto,
                        );
                    }
                    Mark::Line { from, to, thick } => {
                        surface.set_fill(None);
                        surface.set_stroke(Some(Stroke { width: *thick, ..Stroke::default() }));
                        let mut path = PathBuilder::new();
                        path.move_to(from.0, from.1);
                        path.line_to(to.0, to.1);
                        surface.draw_path(&path.finish()?);
                    }
                    Mark::Picture { corner, width, picture } => picture.draw(&mut surface, *corner, *width),
                    Mark::Box { corner, side, is_ticked } => {
                        surface.set_fill(None);
                        surface.set_stroke(Some(Stroke { width: 0.9, ..Stroke::default() }));
                        let (x, y) = *corner;
                        let mut path = PathBuilder::new();
                        path.move_to(x, y);
                        path.line_to(x + side, y);
                        path.line_to(x + side, y + side);
                        path.line_to(x, y + side);
                        path.close();
                        if *is_ticked {
                            path.move_to(x + 0.15 * side, y + 0.55 * side);
                            path.line_to(x + 0.4 * side, y + 0.85 * side);
                            path.line_to(x + 0.9 * side, y + 0.1 * side);
                        }
                        surface.draw_path(&path.finish()?);
                    }
                }
            }
            surface.finish();
            page.finish();
        }
        Some(())
    }
}
