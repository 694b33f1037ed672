//! Which processors fit which boards: a chart for a bench wall or a lesson.

use upgrade::fit::finding::Verdict;

use crate::svg::{Anchor, Picture};
use crate::wrap::{columns, wrap};

/// A chart: rows of processors, columns of boards, a verdict where they meet.
#[derive(Debug, Clone, PartialEq)]
pub struct FitChart {
    /// Heading.
    pub title: String,
    /// Columns: boards with their chipset.
    pub boards: Vec<(String, String)>,
    /// Rows: processors.
    pub processors: Vec<ChartRow>,
}

/// One processor in a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartRow {
    /// Name.
    pub name: String,
    /// Electrical generation.
    pub generation: String,
    /// Verdict on each board, and the rule that decides it.
    pub verdicts: Vec<(Verdict, &'static str)>,
}

/// The chart as text: one character where processor and board meet, the boards numbered.
pub fn text(chart: &FitChart, width: usize) -> String {
    let mut out = String::new();
    for line in wrap(&chart.title, width, 2) {
        out.push_str(&line);
        out.push('\n');
    }
    for (idx, (board, chipset)) in chart.boards.iter().enumerate() {
        out.push_str(&format!("  {:>2}  {board} ({chipset})\n", idx + 1));
    }
    let name_width = chart.processors.iter().map(|row| columns(&row.name)).max().unwrap_or(0);
    let generation_width = chart.processors.iter().map(|row| columns(&row.generation)).max().unwrap_or(0);
    // Where the terminal is too narrow for all boards the chart goes on below with the next ones.
    let room = width.saturating_sub(name_width + generation_width + 4) / 3;
    let per_part = room.max(4);
    for part in 0..chart.boards.len().div_ceil(per_part) {
        let range = part * per_part..((part + 1) * per_part).min(chart.boards.len());
        out.push('\n');
        out.push_str(&" ".repeat(name_width + generation_width + 4));
        for idx in range.clone() {
            out.push_str(&format!("{:>3}", idx + 1));
        }
        out.push('\n');
        for ChartRow { name, generation, verdicts } in &chart.processors {
            let gap = name_width - columns(name);
            out.push_str(&format!("{name}{}  {generation:<generation_width$}  ", " ".repeat(gap)));
            for (verdict, _) in verdicts.get(range.clone()).unwrap_or_default() {
                out.push_str(&format!("{:>3}", verdict.mark()));
            }
            out.push('\n');
        }
    }
    out.push('\n');
    for line in wrap("= fits, ~ fits on a condition, ? cannot tell, x does not fit", width, 0) {
        out.push_str(&line);
        out.push('\n');
    }
    out
}

const CELL: f64 = 26.0;
const NAME: f64 = 250.0;
const HEAD: f64 = 190.0;

/// The chart as a picture: a mark and a shape for each verdict, so that it reads without colour.
pub fn picture(chart: &FitChart) -> String {
    let width = NAME + CELL * chart.boards.len() as f64 + 60.0;
    let height = HEAD + CELL * chart.processors.len() as f64 + 60.0;
    let mut picture = Picture::new(width.max(560.0), height, &chart.title);
    picture.rectangle((0.0, 0.0), (width.max(560.0), height), "paper");
    picture.text((16.0, 26.0), Anchor::Start, "head", &chart.title);
    for (idx, (board, chipset)) in chart.boards.iter().enumerate() {
        let x = NAME + CELL * (idx as f64 + 0.5);
        picture.raw(&format!(
            r#"<g transform="translate({} {}) rotate(-55)">"#,
            crate::svg::number(x + 4.0),
            crate::svg::number(HEAD - 8.0)
        ));
        picture.text((0.0, 0.0), Anchor::Start, "small", board);
        picture.text((0.0, 12.0), Anchor::Start, "note", chipset);
        picture.raw("</g>");
    }
    for (row, ChartRow { name, generation, verdicts }) in chart.processors.iter().enumerate() {
        let y = HEAD + CELL * (row as f64 + 0.5);
        picture.line(
            (16.0, y + CELL / 2.0),
            (NAME + CELL * chart.boards.len() as f64, y + CELL / 2.0),
            "grid",
        );
        picture.text((16.0, y + 4.0), Anchor::Start, "ink", name);
        picture.text((NAME - 12.0, y + 4.0), Anchor::End, "note", generation);
        for (column, (verdict, rule)) in verdicts.iter().enumerate() {
            let centre = (NAME + CELL * (column as f64 + 0.5), y);
            let board = chart.boards.get(column).map_or("", |(board, _)| board.as_str());
            let tip = format!("{name} on {board}: {} ({rule})", verdict.word());
            mark(&mut picture, *verdict, centre, &tip);
        }
    }
    let y = height - 22.0;
    let mut x = 24.0;
    for verdict in [Verdict::Fits, Verdict::OnCondition, Verdict::CannotTell, Verdict::DoesNotFit] {
        mark(&mut picture, verdict, (x, y), verdict.word());
        picture.text((x + 14.0, y + 4.0), Anchor::Start, "small", verdict.word());
        x += 46.0 + 7.0 * verdict.word().len() as f64;
    }
    picture.finish()
}

/// A full disc, a half disc, a question mark, a thin cross: four shapes for four verdicts.
fn mark(picture: &mut Picture, verdict: Verdict, (x, y): (f64, f64), tip: &str) {
    let n = crate::svg::number;
    match verdict {
        Verdict::Fits => picture.circle((x, y), 7.0, "fits", tip),
        Verdict::OnCondition => {
            picture.raw(&format!("<g><title>{}</title>", crate::svg::escape(tip)));
            picture.path(&format!("M{} {}a7 7 0 0 1 14 0z", n(x - 7.0), n(y)), "care");
            picture.path(&format!("M{} {}a7 7 0 0 0 14 0", n(x - 7.0), n(y)), "lead");
            picture.raw("</g>");
        }
        Verdict::CannotTell => {
            picture.raw(&format!("<g><title>{}</title>", crate::svg::escape(tip)));
            picture.text((x, y + 5.0), Anchor::Middle, "head", "?");
            picture.raw("</g>");
        }
        Verdict::DoesNotFit => {
            picture.raw(&format!("<g><title>{}</title>", crate::svg::escape(tip)));
            picture.path(&format!("M{} {}l8 8m0 -8l-8 8", n(x - 4.0), n(y - 4.0)), "cross");
            picture.raw("</g>");
        }
    }
}
